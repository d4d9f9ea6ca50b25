// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;
using Fumecast.GCode;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Runs a job's text through the front door, from a file as a user has it.</summary>
internal static class Printed
{
    public static EstimateOptions With(string? material = null, double? nozzleC = null) => new()
    {
        Material = material,
        NozzleC = nozzleC,
    };

    public static JobEstimate Run(string text, EstimateOptions? options = null, ISeriesSink? series = null) =>
        Run(Encoding.UTF8.GetBytes(text), options, series);

    public static JobEstimate Run(byte[] content, EstimateOptions? options = null, ISeriesSink? series = null)
    {
        var path = Path.Combine(Path.GetTempPath(), "fumecast-job-" + Path.GetRandomFileName() + ".gcode");
        File.WriteAllBytes(path, content);
        try
        {
            return PrintForecast.Estimate(path, options ?? new EstimateOptions(), series);
        }
        finally
        {
            File.Delete(path);
        }
    }

    /// <summary>What is said of the fit of job and material, which has tests of its own: these little jobs print at whatever temperature.</summary>
    private static readonly string[] OfTheMaterial = [ForecastFindings.NozzleUnusual, ForecastFindings.DensityUnusual, ForecastFindings.MassAgainstTvoc];

    /// <summary>Codes of the warnings, in order of their first occurrence.</summary>
    public static string[] Warnings(this JobEstimate estimate) =>
        [.. estimate.Diagnostics.Where(entry => entry.Severity == Severity.Warning && !OfTheMaterial.Contains(entry.Code)).Select(entry => entry.Code)];

    public static ResolvedSetting Setting(this JobEstimate estimate, string name) => estimate.Settings.Single(setting => setting.Setting == name);

    public static ToolSummary Tool(this JobEstimate estimate, int number) => estimate.Job.Tools.Single(tool => tool.Tool == number);

    public static double DepositedMm(this JobEstimate estimate) => estimate.Job.Tools.Sum(tool => tool.DepositedMm);
}
