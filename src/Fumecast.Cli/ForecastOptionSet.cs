// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>The options that every command with a forecast has.</summary>
internal sealed class ForecastOptionSet
{
    public Option<string[]> Material { get; } = CommonOptions.Material();

    public Option<string?> Printer { get; } = CommonOptions.Printer();

    public Option<double?> Bin { get; } = QuantityOption.Make(
        "--bin", Quantity.Time, 0.1, 86400, "TIME", "Length of the bins of the series and of the peak, in s. Default: 10s.");

    public Option<double?> Interval { get; } = QuantityOption.Make(
        "--interval", Quantity.Share, 0.01, 0.999, "SHARE", "Coverage of the intervals. Default: 0.9.");

    public Option<double?> MeterInterval { get; } = CommonOptions.MeterInterval();

    public Option<double?> AirTime { get; } = CommonOptions.AirTime();

    public Option<double?> Diameter { get; } = CommonOptions.Diameter();

    public Option<double?> Density { get; } = QuantityOption.Make(
        "--density", Quantity.Density, 0.1, 20, "G_CM3", "Filament density, in g/cm3. Default: from the job, else from the material.");

    public Option<bool> Purged { get; } = CommonOptions.Purged();

    public Option<long> Seed { get; } = CommonOptions.Seed();

    public Option<bool> Strict { get; } = CommonOptions.Strict();

    /// <summary>What the user gave, but for the materials.</summary>
    public EstimateOptions Read(ParseResult parsed, Stream? input) => new()
    {
        Printer = parsed.GetValue(Printer),
        BinS = parsed.GetValue(Bin) ?? 10,
        Interval = parsed.GetValue(Interval) ?? 0.9,
        MeterIntervalS = parsed.GetValue(MeterInterval) ?? 10,
        AirTimeS = parsed.GetValue(AirTime) ?? 600,
        DiameterMm = parsed.GetValue(Diameter),
        DensityGPerCm3 = parsed.GetValue(Density),
        StartDose = !parsed.GetValue(Purged),
        Seed = parsed.GetValue(Seed),
        Strict = parsed.GetValue(Strict),
        Stdin = input,
    };

    /// <summary>Reads <c>ID</c> and <c>N=ID</c>.</summary>
    /// <exception cref="UsageProblem">A tool has two materials, or a material has no name.</exception>
    public static (string? All, IReadOnlyDictionary<int, string> ByTool) Materials(IEnumerable<string> given)
    {
        string? all = null;
        var byTool = new Dictionary<int, string>();
        foreach (var text in given)
        {
            var at = text.IndexOf('=', StringComparison.Ordinal);
            int? tool = null;
            var id = text;
            if (at > 0 && int.TryParse(text.AsSpan(0, at), NumberStyles.None, CultureInfo.InvariantCulture, out var number))
            {
                tool = number;
                id = text[(at + 1)..];
            }

            if (string.IsNullOrWhiteSpace(id))
            {
                throw new UsageProblem($"--material: found '{text}', expected an id, a file, or N=ID such as 0=pla");
            }

            if (tool is { } one && !byTool.TryAdd(one, id))
            {
                throw new UsageProblem(FormattableString.Invariant($"--material: found both '{byTool[one]}' and '{id}' for tool {one}; give one"));
            }

            if (tool is null && all is not null)
            {
                throw new UsageProblem($"--material: found both '{all}' and '{id}' for all tools; say which tool has which, as in 0={all} 1={id}");
            }

            all = tool is null ? id : all;
        }

        return (all, byTool);
    }
}
