// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Puts a written test print to the test: read back, simulated and judged like any other job.</summary>
internal static class TestPrintCheck
{
    // What a test print promises; the idle share is 0 but for the rounding of sums.
    private const double MostCv = 0.005;
    private const double MostIdleShare = 1e-6;
    private const double FlowTolerance = 0.005;
    private const double DurationTolerance = 0.01;
    private const double MassTolerance = 1e-3;
    private const double MeterIntervalS = 10;

    /// <summary>Simulates a test print and compares it with its plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="file">Where it was written; <c>-</c> for the options' <see cref="EstimateOptions.Stdin"/>, which may be any stream that can seek.</param>
    /// <param name="options">Printer and material, as the plan was made for; the rest as for any estimate.</param>
    /// <param name="progress">Told the share that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <returns>The estimate of the test print.</returns>
    /// <exception cref="InvalidOperationException">The test print breaks a promise: a mistake of this program, never of the request.</exception>
    public static JobEstimate Run(
        TestPrintPlan plan, string file, EstimateOptions options, IProgress<double>? progress = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(options);
        var estimate = PrintForecast.Estimate(
            file, options with { MeterIntervalS = MeterIntervalS, DensityGPerCm3 = plan.Request.DensityGPerCm3, DiameterMm = plan.FilamentDiameterMm },
            series: null, progress, cancel);
        var flow = estimate.Flow;
        Require("variation at 10 s", flow.Cv is <= MostCv, flow.Cv, MostCv);
        Require("idle share", flow.IdleShare is <= MostIdleShare, flow.IdleShare, MostIdleShare);
        RequireNear("flow in mm3/s", plan.Request.FlowMm3PerS, flow.MeanMm3PerS, FlowTolerance);
        RequireNear("print phase in s", plan.Request.DurationS, flow.PrintPhaseS, DurationTolerance);
        var depositedG = estimate.Job.Tools.Sum(tool => tool.DepositedG * (1 - tool.PurgedMm / Math.Max(tool.DepositedMm, 1e-9)));
        RequireNear("mass in g", plan.MassG, depositedG, MassTolerance);
        return estimate;
    }

    private static void RequireNear(string what, double wanted, double? found, double tolerance) =>
        Require(what, found is { } value && Math.Abs(value / wanted - 1) <= tolerance, found, wanted);

    private static void Require(string what, bool isKept, double? found, double wanted)
    {
        if (!isKept)
        {
            throw new InvalidOperationException(string.Create(
                CultureInfo.InvariantCulture, $"the test print did not pass its own check and was not written; {what}: found {found:G6}, promised {wanted:G6}"));
        }
    }
}
