// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Which temperature a nozzle has that no command sets: what the comments state, what was given for such jobs, or what is usual for the material.</summary>
internal sealed class UnsetNozzle(
    JobSetup setup, EstimateOptions options, EmissionAccumulator emission, DiagnosticLog log, CommentClaims early, CommentClaims claims, Attempt attempt, bool readsToTheEnd)
{
    /// <summary>The temperature of a tool; null when the job has to be refused or read once more.</summary>
    public UncommandedNozzle? Of(int tool)
    {
        if ((early.NozzleC ?? claims.NozzleC) is { } stated)
        {
            return new UncommandedNozzle(stated, "the file's comments; no command sets one");
        }

        // What stands further on in a file that can be read again goes before it.
        if (readsToTheEnd && options.NozzleIfUnknownCOf(tool) is { } given)
        {
            return new UncommandedNozzle(given, "--nozzle-if-unknown; the file states none");
        }

        if (!attempt.AssumeNozzle || setup.Materials[tool] is not { NozzleC.Range: { } usual } material)
        {
            return null;
        }

        emission.AssumeNozzle(tool);
        log.Report(Severity.Warning, ForecastFindings.NozzleAssumed, 0, 0, string.Create(CultureInfo.InvariantCulture,
            $"the file sets no nozzle temperature; the middle of what is usual for {material.Id} is taken, {material.MiddleNozzleC:0} degC, and anything from {usual.Low:0} to {usual.High:0} degC counted as possible; give it with --nozzle C"),
            changesResult: true);
        return new UncommandedNozzle(material.MiddleNozzleC, $"assumed: the middle of what is usual for {material.Id}; the file states none");
    }
}
