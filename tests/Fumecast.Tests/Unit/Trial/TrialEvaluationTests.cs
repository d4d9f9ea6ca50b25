// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;
using Fumecast.Samples;
using Fumecast.Trial;

namespace Fumecast.Tests.Unit.Trial;

/// <summary>Trials with odd logs and notebooks, made from known figures.</summary>
public sealed class TrialEvaluationTests : IDisposable
{
    private static readonly DateTime Noon = new(2026, 11, 20, 12, 0, 0);

    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-trial-").FullName;

    public TrialEvaluationTests()
    {
        foreach (var (name, text) in FilterTrial.Files())
        {
            File.WriteAllText(Path.Combine(_folder, name), text);
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static SimulatedRun Plain(double lossPerH = 0.8) => new()
    {
        VolumeM3 = FilterTrial.VolumeM3,
        LossPerH = lossPerH,
        EmissionPerG = 60,
        Flow = [(2.5, FilterTrial.FlowGPerH)],
        BeforeH = 1.25,
        DelayH = 6.0 / 60,
        AfterH = 3,
    };

    private void Log(string name, string header, int number, params (SimulatedRun Run, double Factor)[] runs)
    {
        var random = new Random(number);
        var lines = new List<string> { header };
        foreach (var (run, factor) in runs)
        {
            foreach (var value in run.Readings(random).Values)
            {
                lines.Add(string.Create(CultureInfo.InvariantCulture, $"{Noon.AddMinutes(lines.Count - 1):yyyy-MM-dd HH:mm},{value * factor:0.0}"));
            }
        }

        File.WriteAllLines(Path.Combine(_folder, name), lines);
    }

    private TrialOutcome Of(string notebook)
    {
        var path = Path.Combine(_folder, "own.yaml");
        File.WriteAllText(path, "schema: fumecast/notebook/1\n" + notebook);
        return TrialEvaluation.Of(path);
    }

    [Fact]
    public void Two_prints_in_one_log_do_not_spoil_each_other()
    {
        Log("both.csv", "Time,PM2.5 (ug/m3)", 21, (Plain(), 1), (Plain(0.8 + 70 / 45.0), 1));
        var outcome = Of("""
            room: room.yaml
            runs:
              - {name: plain, log: both.csv, job: wall.gcode, start: 2026-11-20 13:15}
              - {name: filtered, log: both.csv, job: wall.gcode, start: 2026-11-20 20:00, filter: lent}
            """);
        Assert.Empty(outcome.Diagnostics);
        Assert.All(outcome.Runs, run => Assert.False(run.Quantities[0].IsSpoiled, run.Quantities[0].WhyNot));
        Assert.InRange(outcome.Runs[0].Quantities[0].Emission!.PerG.Median, 50, 72);
        var pair = Assert.Single(outcome.Pairs);
        Assert.Equal(PairEffect.Less, pair.Effect);
        Assert.InRange(70, pair.CleanAirM3PerH!.Value.Low, pair.CleanAirM3PerH.Value.High);
    }

    [Fact]
    public void Vapours_by_mass_are_read_by_their_own_noise()
    {
        // Noise, drift and emission fifty times those of a particle meter: only a scale of its own fits what is thought of drift.
        Log("vapours.csv", "Time,TVOC (ug/m3)", 22, (Plain() with { DriftPerH = 0.1 }, 50));
        var vapours = Of("room: room.yaml\nruns:\n  - {name: plain, log: vapours.csv, job: wall.gcode, start: 2026-11-20 13:15}\n").Runs[0].Quantities[0];
        Assert.InRange(3000, vapours.Emission!.PerG.Low, vapours.Emission.PerG.High);
        Assert.InRange(0.8, vapours.LossPerH!.Value.Low, vapours.LossPerH.Value.High);
    }

    [Fact]
    public void The_rooms_own_loss_does_not_bind_a_run_with_a_filter()
    {
        Log("plain.csv", "Time,PM2.5 (ug/m3)", 23, (Plain(), 1));
        Log("filtered.csv", "Time,PM2.5 (ug/m3)", 24, (Plain(0.8 + 70 / 45.0), 1));
        var outcome = Of("""
            room: room.yaml
            loss: 0.7 to 0.9 1/h
            runs:
              - {name: plain, log: plain.csv, job: wall.gcode, start: 2026-11-20 13:15}
              - {name: filtered, log: filtered.csv, job: wall.gcode, start: 2026-11-20 13:15, filter: lent}
            """);
        Assert.Equal(PairEffect.Less, Assert.Single(outcome.Pairs).Effect);
        Assert.InRange(outcome.Runs[1].Quantities[0].LossPerH!.Value.Median, 1.6, 3.4);
    }

    [Fact]
    public void A_decay_without_a_stated_end_stops_where_the_background_begins()
    {
        File.WriteAllLines(Path.Combine(_folder, "fall.csv"), ["Time (min),PM2.5 (ug/m3)", .. Enumerable.Range(0, 240).Select(static minute =>
            string.Create(CultureInfo.InvariantCulture, $"{minute},{5 + 400 * Math.Exp(-3.0 * minute / 60) + 0.4 * Math.Sin(2.3 * minute):0.0}"))]);
        var fall = Of("runs:\n  - {name: fall, log: fall.csv, decay: {from: 5 min}, volume: 30 m3, background: 5 ug/m3}\n").Runs[0].Quantities[0];
        Close.To(3.0, fall.LossPerH!.Value.Median, 0.03);
    }

    [Theory]
    [InlineData("notes:\n  - {run: plain, from: auto, to: 12 min, what: tea, leave_out: true}\n", "'tea' cannot be placed")]
    [InlineData("notes:\n  - {run: plain, from: 50 min, to: 12 min, what: tea, leave_out: true}\n", "'tea' ends before it begins")]
    public void A_note_that_would_do_nothing_is_refused(string notes, string expected)
    {
        var problem = Assert.Throws<InputProblem>(() => Of("room: room.yaml\nruns:\n  - {name: plain, log: no-filter.csv, job: wall.gcode, start: 2026-11-20 14:15}\n" + notes));
        Assert.Contains(expected, problem.Message, StringComparison.Ordinal);
        Assert.Contains("own.yaml:6:", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_zone_that_the_log_does_not_have_is_refused()
    {
        var problem = Assert.Throws<InputProblem>(() => Of("room: room.yaml\nruns:\n  - {name: plain, log: no-filter.csv, job: wall.gcode, start: '2026-11-20 14:15+05:00'}\n"));
        Assert.Contains("zone: +01:00 in the notebook", problem.Message, StringComparison.Ordinal);
    }
}
