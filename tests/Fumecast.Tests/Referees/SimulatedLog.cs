// SPDX-License-Identifier: MIT
using Fumecast.Samples;
using Fumecast.Trial;

namespace Fumecast.Tests.Referees;

/// <summary>A simulated run as the estimators take it.</summary>
internal static class SimulatedLog
{
    public static BoxRun Log(this SimulatedRun run, Random random)
    {
        var (starts, values) = run.Readings(random);
        return new BoxRun
        {
            Records = new RunRecords(starts, values, run.RecordH, run.DisplayStep),
            Flow = new FlowSteps([0, .. run.Flow.Select(static part => part.UntilH)], [.. run.Flow.Select(static part => part.GPerH), 0]),
            JobStartH = run.BeforeH,
            VolumeM3 = run.VolumeM3,
            IsEnclosed = run.BoxLossPerH is not null,
        };
    }
}
