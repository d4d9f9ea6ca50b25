// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Holds the filament and the time that the comments claim against what the commands feed and take.</summary>
/// <remarks>Claims differ by what they include; a gross difference means that something was read otherwise than meant.</remarks>
internal static class ClaimCheck
{
    /// <summary>Claims of real files lie 16 % below to 20 % above what is fed (survey of 43 files); beyond these shares one of the two is wrong [-].</summary>
    private const double LeastShareOfClaim = 0.7;
    private const double MostShareOfClaim = 1.5;

    /// <summary>Share of the claimed time below which the file is more likely cut than the printer so much faster; a reasoned choice, not measured [-].</summary>
    private const double LeastShareOfTime = 0.5;

    /// <summary>Start blocks prime up to 45 mm that claims leave out (the same survey) [mm].</summary>
    private const double PrimeMm = 60;

    /// <summary>Section of the common filament [mm2].</summary>
    private const double LeastAreaMm2 = 2.4;

    /// <summary>Reports a gross difference.</summary>
    /// <param name="claims">What the comments say.</param>
    /// <param name="print">The job as simulated.</param>
    /// <param name="speedFactor">Factor on its speeds, which the claims know nothing of [-].</param>
    /// <param name="log">Receives the findings.</param>
    public static void Report(CommentClaims claims, SimulatedPrint print, double speedFactor, DiagnosticLog log)
    {
        if (claims.FilamentMm is { } claimedMm)
        {
            Compare(claimedMm, print.Tools.Sum(static tool => tool.DepositedMm), PrimeMm, "mm", claims.FilamentLine, log);
        }
        else if (claims.FilamentMm3 is { } claimedMm3)
        {
            Compare(claimedMm3, print.Tools.Sum(static tool => tool.DepositedMm3), PrimeMm * LeastAreaMm2, "mm3", claims.FilamentLine, log);
        }
        else if (claims.TimeS is { } claimedS && print.TotalS < LeastShareOfTime * claimedS / Math.Max(1, speedFactor))
        {
            // Where filament is claimed it tells better: how long a whole file takes depends on the printer.
            log.Report(Severity.Warning, ForecastFindings.ClaimDiffers, 0, 0, string.Create(CultureInfo.InvariantCulture,
                $"the comments claim {claimedS / 60:0} min, the commands take {print.TotalS / 60:0} min; check that the file is whole, and --printer"),
                changesResult: true);
        }
    }

    private static void Compare(double claimed, double found, double prime, string unit, long line, DiagnosticLog log)
    {
        if (found > 0 && (found < LeastShareOfClaim * claimed || found > (MostShareOfClaim * claimed) + prime))
        {
            log.Report(Severity.Warning, ForecastFindings.ClaimDiffers, line, line > 0 ? 1 : 0, string.Create(CultureInfo.InvariantCulture,
                $"the comments claim {claimed:0} {unit} of filament, the commands feed {found:0} {unit}; check that the file is whole, and --diameter"),
                changesResult: true);
        }
    }
}
