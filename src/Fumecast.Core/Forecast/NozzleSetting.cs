// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>The nozzle temperature that the options give for printing, and what the file states instead.</summary>
/// <param name="C">The temperature [degC].</param>
/// <param name="Because">Why it is taken.</param>
/// <param name="Stated">What the file states and was not followed, as one temperature or as a range; null where it states nothing else.</param>
/// <param name="Where">What of the file states it.</param>
/// <param name="Line">Where it does, 1-based; 0 when the place is not known [-].</param>
internal sealed record NozzleSetting(double C, string Because, string? Stated, string Where, long Line)
{
    /// <summary>The choice as the result lists it.</summary>
    public ResolvedSetting Resolved => new(
        "nozzle temperature while printing", Text(C), Because, Overrides: Stated is null ? null : new OverriddenStatement(Stated, Line > 0 ? Line : null));

    /// <summary>The setting; null where the options leave the file's own.</summary>
    /// <param name="options">What the user said.</param>
    /// <param name="print">The job, with the set points that were replaced.</param>
    /// <param name="claims">The comments of the whole file.</param>
    public static NozzleSetting? Of(EstimateOptions options, SimulatedPrint print, CommentClaims claims)
    {
        if (options.NozzleC is not { } given)
        {
            return null;
        }

        if (print.ReplacedNozzle is { } own)
        {
            return new NozzleSetting(
                given, options.NozzleBecause, own.HighestC - own.LowestC < 0.05 ? Text(own.LowestC) : $"{own.LowestC.ToString("0.#", CultureInfo.InvariantCulture)} to {Text(own.HighestC)}",
                "commands set", own.Line);
        }

        // Comments count only where no command sets a temperature.
        return !print.StatesNozzle && claims.NozzleC is { } stated && Math.Abs(stated - given) >= 0.05
            ? new NozzleSetting(given, options.NozzleBecause, Text(stated), "comments state", claims.NozzleCLine)
            : new NozzleSetting(given, options.NozzleBecause, null, "", 0);
    }

    /// <summary>Reports that it overrides what the file states, if it does.</summary>
    /// <param name="log">Receives the finding.</param>
    /// <param name="options">What the user said.</param>
    public void Report(DiagnosticLog log, EstimateOptions options)
    {
        if (Stated is not null && options.WarnsOfOverrides)
        {
            log.Report(
                Severity.Warning, ForecastFindings.NozzleOverridden, Line, Line > 0 ? 1 : 0,
                $"the file's {Where} a nozzle temperature of {Stated}; {Text(C)} is taken instead, as {Because} says (--nozzle-if-unknown would fill gaps only)");
        }
    }

    private static string Text(double celsius) => string.Create(CultureInfo.InvariantCulture, $"{celsius:0.#} C");
}
