// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Text;
using Fumecast.Forecast;
using Fumecast.Forecast.TestPrint;
using Fumecast.Inputs;
using Fumecast.Machine;
using Fumecast.Report;

namespace Fumecast.Cli;

/// <summary><c>fumecast testprint</c>: writes a print of constant flow for emission trials, checked before it is handed over.</summary>
internal sealed class TestPrintCommand(Surroundings around, CancellationToken cancel)
{
    private const double Longest = 14 * 86_400;

    private readonly Option<string?> _material = new("--material") { HelpName = "ID|FILE", Description = "Material to print. See: fumecast materials list." };
    private readonly Option<double?> _flow = QuantityOption.Make("--flow", Quantity.Flow, 0.05, 100, "MM3_S", "Flow to hold, in mm3/s.");
    private readonly Option<double?> _duration = QuantityOption.Make("--duration", Quantity.Time, 60, Longest, "TIME", "How long to print, in s; or as 6h, 90min.");
    private readonly Option<string?> _out = CommonOptions.File("--out", "F.gcode", "Where the print goes; - for stdout.");
    private readonly Option<string?> _printer = CommonOptions.Printer();
    private readonly Option<double?> _nozzle = QuantityOption.Make(
        "--nozzle", Quantity.Temperature, 20, 500, "C", "Nozzle temperature, in degC. Default: the middle of the material's range.");
    private readonly Option<double?> _bed = QuantityOption.Make(
        "--bed", Quantity.Temperature, 0, 200, "C", "Bed temperature, in degC; 0 for a cold bed. Default: from the material.");
    private readonly Option<double?> _fan = QuantityOption.Make("--fan", Quantity.Share, 0, 1, "SHARE", "Speed of the part fan. Default: 0.");
    private readonly Option<double?> _layer = QuantityOption.Make("--layer", Quantity.Length, 0.04, 2, "MM", "Layer height, in mm. Default: 0.2mm.");
    private readonly Option<double?> _width = QuantityOption.Make("--width", Quantity.Length, 0.05, 5, "MM", "Width of a line, in mm. Default: 0.45mm.");
    private readonly Option<double?> _firstLayerSpeed = QuantityOption.Make(
        "--first-layer-speed", Quantity.Speed, 0.5, 1000, "MM_S", "Speed of the first layer, in mm/s. Default: chosen to suit the flow.");
    private readonly Option<double?> _diameter = QuantityOption.Make(
        "--diameter", Quantity.Length, 0.5, 5, "MM", "Filament diameter, in mm. Default: from the printer.");
    private readonly Option<Phases?> _phases = PhasesOption();
    private readonly Option<double?> _airTime = CommonOptions.AirTime();
    private readonly Option<bool> _beyondRange = new("--beyond-range") { Description = "Allow temperatures far outside what is usual for the material." };
    private readonly Option<bool> _relative = new("--relative") { Description = "Count filament relatively (M83) instead of in absolute positions." };
    private readonly Option<bool> _quiet = CommonOptions.Quiet();
    private readonly Option<bool> _noColour = CommonOptions.NoColour();

    /// <summary>Makes the command for the parser.</summary>
    public Command Build()
    {
        _material.CompletionSources.Add(static _ => DataCommand.KnownIds("materials"));
        var command = new ExampleCommand(
            "testprint", "Writes G-code for a print of constant flow, for emission trials.",
            "fumecast testprint --material petg --flow 4mm3/s --duration 6h --out trial.gcode")
        {
            _material, _flow, _duration, _out, _printer, _nozzle, _bed, _fan, _layer, _width, _firstLayerSpeed, _diameter, _phases, _airTime, _beyondRange, _relative,
            _quiet, _noColour,
        };
        command.SetAction(Run);
        return command;
    }

    private int Run(ParseResult parsed)
    {
        var materialName = Required(parsed.GetValue(_material), "--material", "an id such as petg");
        var flow = Required(parsed.GetValue(_flow), "--flow", "a filament flow such as 4mm3/s");
        var duration = Required(parsed.GetValue(_duration), "--duration", "a time such as 6h");
        var target = Required(parsed.GetValue(_out), "--out", "the name of a file, or -");
        var options = Options(parsed, materialName, flow, duration);

        // Beside a file the words about it are an output as well: a print without them, or they without it, would be half of what was asked for.
        var toStdout = Output.IsStandardOutput(target);
        if (!toStdout)
        {
            Result.RequireForWords(around.Output);
        }

        using var outputs = OutputSet.Open(around, RunInputs.Of([], [materialName], options.Printer), ("--out", target), ("the description", toStdout ? null : "-"));
        var output = outputs["--out"];
        TestPrintOutcome print;
        using (var progress = around.ErrorIsTerminal && !parsed.GetValue(_quiet) ? new ProgressLine(around.Error, "writing and checking") : null)
        {
            print = PrintForecast.TestPrint(options, output.Stream, progress, cancel);
        }

        var (plan, estimate) = print;
        var words = Words(plan, estimate with { Job = estimate.Job with { File = toStdout ? "the test print" : target } }, Because(parsed, estimate.Job.Tools[0].Material), parsed, toStdout);
        if (!toStdout)
        {
            outputs["the description"].Stream.Write(Encoding.UTF8.GetBytes(words));
        }

        outputs.Commit();
        if (toStdout && !parsed.GetValue(_quiet))
        {
            around.Error.Write(words);
        }

        return ExitCode.Done;
    }

    private TestPrintOptions Options(ParseResult parsed, string material, double flow, double duration)
    {
        var defaults = new TestPrintOptions { Material = material, FlowMm3PerS = flow, DurationS = duration };
        var phases = parsed.GetValue(_phases);
        return defaults with
        {
            Printer = parsed.GetValue(_printer),
            NozzleC = parsed.GetValue(_nozzle),
            BedC = parsed.GetValue(_bed),
            BeyondRange = parsed.GetValue(_beyondRange),
            FanShare = parsed.GetValue(_fan) ?? defaults.FanShare,
            LayerMm = parsed.GetValue(_layer) ?? defaults.LayerMm,
            WidthMm = parsed.GetValue(_width) ?? defaults.WidthMm,
            FirstLayerMmPerS = parsed.GetValue(_firstLayerSpeed),
            BackgroundS = phases?.BackgroundS ?? defaults.BackgroundS,
            PurgeS = phases?.PurgeS ?? defaults.PurgeS,
            DecayS = phases?.DecayS ?? defaults.DecayS,
            RelativeE = parsed.GetValue(_relative),
            FilamentDiameterMm = parsed.GetValue(_diameter),
            AirTimeS = parsed.GetValue(_airTime) ?? defaults.AirTimeS,
        };
    }

    private IEnumerable<string> Because(ParseResult parsed, string material)
    {
        if (parsed.GetValue(_nozzle) is null)
        {
            yield return $"nozzle: the middle of what is usual for {material}; set it with --nozzle";
        }

        if (parsed.GetValue(_bed) is null)
        {
            yield return "bed: a little below the glass transition (common practice, no source); set it with --bed";
        }

        if (parsed.GetValue(_printer) is null)
        {
            yield return $"printer: {PrinterCatalogue.DefaultId}, assumed; its bed and limits must fit yours, or name another with --printer";
        }
    }

    /// <summary>What is told about the print; beside a print on stdout it goes to stderr.</summary>
    private string Words(TestPrintPlan plan, JobEstimate estimate, IEnumerable<string> because, ParseResult parsed, bool printIsOnStdout)
    {
        using var text = new StringWriter { NewLine = "\n" };
        TestPrintText.Write(text, plan, estimate, because, around.StyleOf(parsed.GetValue(_noColour), toTerminal: !printIsOnStdout));
        return text.ToString();
    }

    private static T Required<T>(T? value, string name, string expected) where T : struct =>
        value ?? throw new UsageProblem($"{name} is missing; expected {expected} (see fumecast testprint --help)");

    private static string Required(string? value, string name, string expected) =>
        value ?? throw new UsageProblem($"{name} is missing; expected {expected} (see fumecast testprint --help)");

    private static Option<Phases?> PhasesOption() => new("--phases")
    {
        HelpName = "NAME=TIME,...",
        Description = "Phases: background before heating and decay after printing, with the heaters off; purge waits with the nozzle hot before it prints. Default: background=30min,purge=0,decay=60min.",
        CustomParser = result =>
        {
            var phases = new Phases(null, null, null);
            foreach (var part in (result.Tokens.Count > 0 ? result.Tokens[0].Value : "").Split(','))
            {
                var at = part.IndexOf('=', StringComparison.Ordinal);
                var name = at < 0 ? "" : part[..at].Trim();
                if (name is not ("background" or "purge" or "decay"))
                {
                    result.AddError($"--phases: found '{part}', expected background=TIME, purge=TIME or decay=TIME, such as background=30min,decay=60min");
                    return null;
                }

                if (!QuantityText.TryParse(part[(at + 1)..], Quantity.Time, "s", out var seconds, out var problem))
                {
                    result.AddError($"--phases: {name}: {problem}");
                    return null;
                }

                if (!(seconds is >= 0 and <= Longest))
                {
                    result.AddError($"--phases: {name}: found '{part[(at + 1)..]}', expected a time from 0 s to 14 d");
                    return null;
                }

                if (seconds > 0 && QuantityOption.BareProblem(part[(at + 1)..], seconds, Quantity.Time, leastBare: 60) is { } bare)
                {
                    result.AddError($"--phases: {name}: {bare}");
                    return null;
                }

                if (name switch { "background" => phases.BackgroundS, "purge" => phases.PurgeS, _ => phases.DecayS } is not null)
                {
                    result.AddError($"--phases: found {name} twice; give it once");
                    return null;
                }

                phases = name switch
                {
                    "background" => phases with { BackgroundS = seconds },
                    "purge" => phases with { PurgeS = seconds },
                    _ => phases with { DecayS = seconds },
                };
            }

            return phases;
        },
    };

    /// <summary>Lengths of the phases around the print; null for the usual one [s].</summary>
    private sealed record Phases(double? BackgroundS, double? PurgeS, double? DecayS);
}
