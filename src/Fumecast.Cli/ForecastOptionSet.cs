// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Fumecast.Forecast;
using Fumecast.Inputs;

namespace Fumecast.Cli;

/// <summary>The options that every command with a forecast has.</summary>
internal sealed class ForecastOptionSet
{
    /// <summary>The lowest nozzle temperature that an option may give [degC].</summary>
    public const double LowestNozzleC = 20;

    /// <summary>The highest nozzle temperature that an option may give [degC].</summary>
    public const double HighestNozzleC = 500;

    public Option<string[]> Material { get; } = CommonOptions.Material();

    public Option<string[]> MaterialIfUnknown { get; } = CommonOptions.MaterialIfUnknown();

    public Option<string[]> NozzleIfUnknown { get; } = CommonOptions.NozzleIfUnknown();

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

    /// <summary>What the options for the materials give.</summary>
    /// <param name="given">Of <c>--material</c>.</param>
    /// <param name="ifUnknown">Of <c>--material-if-unknown</c>.</param>
    /// <exception cref="UsageProblem">A tool has two materials, a material has no name, or nothing is left to fill in.</exception>
    public static (Dictionary<int, string> Given, Dictionary<int, string> IfUnknown) Materials(string[]? given, string[]? ifUnknown)
    {
        var materials = MaterialByTool(given ?? []);
        var gaps = MaterialByTool(ifUnknown ?? [], "--material-if-unknown");
        if (materials.ContainsKey(EstimateOptions.AllTools) && gaps.Count > 0)
        {
            throw new UsageProblem("--material holds for every tool of every job, so --material-if-unknown has nothing to fill in; give one of them");
        }

        foreach (var tool in gaps.Keys.Where(materials.ContainsKey))
        {
            throw new UsageProblem(FormattableString.Invariant(
                $"tool {tool} has a material by --material, so --material-if-unknown {tool}={gaps[tool]} has nothing to fill in; give one of them"));
        }

        return (materials, gaps);
    }

    /// <summary>Reads <c>ID</c> and <c>N=ID</c>.</summary>
    /// <exception cref="UsageProblem">A tool has two materials, or a material has no name.</exception>
    public static Dictionary<int, string> MaterialByTool(IEnumerable<string> given, string option = "--material")
    {
        var materials = new Dictionary<int, string>();
        foreach (var text in given)
        {
            var (tool, id) = ToolAndValue(text);
            if (string.IsNullOrWhiteSpace(id))
            {
                throw new UsageProblem($"{option}: found '{text}', expected an id, a file, or N=ID such as 0=pla");
            }

            Add(materials, tool, id, id, option);
        }

        return materials;
    }

    /// <summary>Reads <c>C</c> and <c>N=C</c>.</summary>
    /// <exception cref="UsageProblem">A tool has two temperatures, or one is none; or <c>--nozzle</c> leaves nothing to fill in.</exception>
    public static Dictionary<int, double> NozzleIfUnknownByTool(string[]? given, bool isNozzleGiven)
    {
        const string option = "--nozzle-if-unknown";
        var temperatures = new Dictionary<int, double>();
        foreach (var text in given ?? [])
        {
            var (tool, value) = ToolAndValue(text);
            Add(temperatures, tool, TemperatureOf(option, value), value, option);
        }

        return isNozzleGiven && temperatures.Count > 0
            ? throw new UsageProblem($"--nozzle holds for every job, so {option} has nothing to fill in; give one of them")
            : temperatures;
    }

    /// <summary>Reads a nozzle temperature that is part of a value [degC].</summary>
    /// <exception cref="UsageProblem">It is none, or out of range.</exception>
    public static double TemperatureOf(string option, string text)
    {
        if (!QuantityText.TryParse(text, Quantity.Temperature, Quantity.Temperature.HeldUnit, out var celsius, out var problem))
        {
            throw new UsageProblem($"{option}: {problem}");
        }

        return celsius is >= LowestNozzleC and <= HighestNozzleC
            ? celsius
            : throw new UsageProblem(QuantityOption.OutOfRange(option, text, Quantity.Temperature, celsius, LowestNozzleC, HighestNozzleC));
    }

    private static (int Tool, string Value) ToolAndValue(string text)
    {
        var at = text.IndexOf('=', StringComparison.Ordinal);
        return at > 0 && int.TryParse(text.AsSpan(0, at), NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            ? (number, text[(at + 1)..])
            : (EstimateOptions.AllTools, text);
    }

    private static void Add<T>(Dictionary<int, T> byTool, int tool, T value, string shown, string option)
    {
        if (!byTool.TryAdd(tool, value))
        {
            var first = Convert.ToString(byTool[tool], CultureInfo.InvariantCulture);
            throw new UsageProblem(tool == EstimateOptions.AllTools
                ? $"{option}: found both '{first}' and '{shown}' for all tools; say which tool has which, as in 0={first} 1={shown}"
                : FormattableString.Invariant($"{option}: found both '{first}' and '{shown}' for tool {tool}; give one"));
        }
    }
}
