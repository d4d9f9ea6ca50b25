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

    /// <summary>The options with what <c>--material</c> and <c>--material-if-unknown</c> give.</summary>
    /// <param name="options">The other options.</param>
    /// <param name="given">Of <c>--material</c>.</param>
    /// <param name="ifUnknown">Of <c>--material-if-unknown</c>.</param>
    /// <exception cref="UsageProblem">A tool has two materials, a material has no name, or nothing is left to fill in.</exception>
    public static EstimateOptions WithMaterials(EstimateOptions options, string[]? given, string[]? ifUnknown)
    {
        var (material, byTool) = Materials(given);
        var (gap, gapByTool) = Materials(ifUnknown, "--material-if-unknown");
        options = options with { Material = material, MaterialByTool = byTool, MaterialIfUnknown = gap, MaterialIfUnknownByTool = gapByTool };
        RefuseNothingToFill(options);
        return options;
    }

    /// <summary>Refuses materials for gaps where <c>--material</c> leaves none.</summary>
    /// <exception cref="UsageProblem">Nothing is left to fill in.</exception>
    public static void RefuseNothingToFill(EstimateOptions options)
    {
        if (options is { Material: not null, FillsMaterial: true })
        {
            throw new UsageProblem("--material holds for every tool of every job, so --material-if-unknown has nothing to fill in; give one of them");
        }

        foreach (var (tool, id) in options.MaterialIfUnknownByTool.Where(entry => options.MaterialByTool.ContainsKey(entry.Key)))
        {
            throw new UsageProblem(FormattableString.Invariant(
                $"tool {tool} has a material by --material, so --material-if-unknown {tool}={id} has nothing to fill in; give one of them"));
        }
    }

    /// <summary>Reads <c>ID</c> and <c>N=ID</c>.</summary>
    /// <exception cref="UsageProblem">A tool has two materials, or a material has no name.</exception>
    public static (string? All, IReadOnlyDictionary<int, string> ByTool) Materials(string[]? given, string option = "--material") =>
        PerTool(given, option, "an id, a file, or N=ID such as 0=pla");

    /// <summary>The options with what <c>--nozzle-if-unknown</c> gives, as <c>C</c> and <c>N=C</c>.</summary>
    /// <param name="options">The other options.</param>
    /// <param name="ifUnknown">Of <c>--nozzle-if-unknown</c>.</param>
    /// <param name="isNozzleGiven">Whether <c>--nozzle</c> is given, too.</param>
    /// <exception cref="UsageProblem">A tool has two temperatures, or one is none; or <c>--nozzle</c> leaves nothing to fill in.</exception>
    public static EstimateOptions WithNozzleIfUnknown(EstimateOptions options, string[]? ifUnknown, bool isNozzleGiven)
    {
        const string option = "--nozzle-if-unknown";
        var (all, byTool) = PerTool(ifUnknown, option, "a temperature in degC, or N=C such as 0=215");
        options = options with
        {
            NozzleIfUnknownC = all is null ? null : TemperatureOf(option, all),
            NozzleIfUnknownCByTool = byTool.ToDictionary(static entry => entry.Key, static entry => TemperatureOf(option, entry.Value)),
        };
        return isNozzleGiven && options.FillsNozzle
            ? throw new UsageProblem($"--nozzle holds for every job, so {option} has nothing to fill in; give one of them")
            : options;
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

    /// <summary>Whether what stands before = was meant for a tool: a file may have the sign in its name or in that of its folder.</summary>
    private static bool IsMeantForTool(string text, int at) =>
        text.AsSpan(0, at).IndexOfAny('/', '\\') < 0 && !File.Exists(text) && !text.EndsWith(".yaml", StringComparison.OrdinalIgnoreCase);

    /// <summary>Reads <c>VALUE</c> and <c>N=VALUE</c>.</summary>
    private static (string? All, Dictionary<int, string> ByTool) PerTool(string[]? given, string option, string expected)
    {
        string? all = null;
        var byTool = new Dictionary<int, string>();
        foreach (var text in given ?? [])
        {
            var at = text.IndexOf('=', StringComparison.Ordinal);
            var hasTool = int.TryParse(text.AsSpan(0, Math.Max(at, 0)), NumberStyles.None, CultureInfo.InvariantCulture, out var tool);
            if (at >= 0 && !hasTool && IsMeantForTool(text, at))
            {
                throw new UsageProblem($"{option}: found '{text}'; '{text[..at]}' is no tool number, expected {expected}");
            }

            var value = hasTool ? text[(at + 1)..] : text;
            if (string.IsNullOrWhiteSpace(value))
            {
                throw new UsageProblem($"{option}: found '{text}', expected {expected}");
            }

            if (hasTool && !byTool.TryAdd(tool, value))
            {
                throw new UsageProblem(FormattableString.Invariant($"{option}: found both '{byTool[tool]}' and '{value}' for tool {tool}; give one"));
            }

            if (!hasTool)
            {
                all = all is null ? text
                    : throw new UsageProblem($"{option}: found both '{all}' and '{text}' for all tools; say which tool has which, as in 0={all} 1={text}");
            }
        }

        return (all, byTool);
    }
}
