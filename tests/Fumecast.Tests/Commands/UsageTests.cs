// SPDX-License-Identifier: MIT
using Fumecast.Cli;
using Fumecast.Forecast;

namespace Fumecast.Tests.Commands;

public class UsageTests
{
    [Theory]
    [InlineData("name a command: estimate, evenness, compare, room, plan, log, trial, calibrate, testprint, materials, printers, rooms, filters, meters, guidelines, notebooks, explain, completion (see fumecast --help)")]
    [InlineData("unknown command 'estimte'; did you mean 'estimate'? (see fumecast --help)", "estimte", "a.gcode")]
    [InlineData("unknown command 'paint'; expected estimate, evenness, compare, room, plan, log, trial, calibrate, testprint, materials, printers, rooms, filters, meters, guidelines, notebooks, explain, completion (see fumecast --help)", "paint")]
    [InlineData("the JOB is missing (see fumecast estimate --help)", "estimate")]
    [InlineData("unknown option '--serie'; did you mean '--series'? (see fumecast estimate --help)", "estimate", "--serie", "x.csv", "a.gcode")]
    [InlineData("unknown option '--frmat'; did you mean '--format'? (see fumecast estimate --help)", "estimate", "a.gcode", "--frmat", "json")]
    [InlineData("unknown option '-x' (see fumecast estimate --help)", "estimate", "a.gcode", "-x")]
    [InlineData("found 'b.gcode' where nothing more was expected; quote names that have blanks (see fumecast testprint --help)", "testprint", "b.gcode")]
    [InlineData("--bin: found '5x', expected a time in s, ms, min, m, h, d, such as 10 s", "estimate", "a", "--bin", "5x")]
    [InlineData("--bin: found '-5', expected a time from 0.1 s to 86400 s", "estimate", "a", "--bin", "-5")]
    [InlineData("--bin: found '0', expected a time from 0.1 s to 86400 s", "estimate", "a", "--bin", "0")]
    [InlineData("--interval: found 'NaN', expected a share such as 0.2 or 20 %", "estimate", "a", "--interval", "NaN")]
    [InlineData("--interval: found '1', expected a share from 0.01 to 0.999", "estimate", "a", "--interval", "1")]
    [InlineData("--interval: found '95', expected a share from 0.01 to 0.999; for a percentage write 95 % or 0.95", "estimate", "a", "--interval", "95")]
    [InlineData("--nozzle: found '2000', expected a temperature from 20 degC to 500 degC", "estimate", "a", "--nozzle", "2000")]
    [InlineData("--diameter: found '1,75', expected a length such as 1.75 mm; write numbers with a decimal point and no other separators", "estimate", "a", "--diameter", "1,75")]
    [InlineData("--density: found '-1', expected a density from 0.1 g/cm3 to 20 g/cm3", "estimate", "a", "--density=-1")]
    [InlineData("--format: found 'yaml', expected text, json, csv", "estimate", "a", "--format", "yaml")]
    [InlineData("--seed: found '-1', expected a whole number from 0 to 9223372036854775807", "estimate", "a", "--seed", "-1")]
    [InlineData("--plot: found 'x.pdf', expected a name that ends in .svg or .png", "estimate", "a", "--plot", "x.pdf")]
    [InlineData("--nozzle and --nozzle-shift exclude each other; give one of them", "estimate", "a", "--nozzle", "240", "--nozzle-shift", "5")]
    [InlineData("--material: found both 'pla' and 'abs' for tool 0; give one", "estimate", "a", "--material", "0=pla", "--material", "0=abs")]
    [InlineData("--material: found both 'pla' and 'abs' for all tools; say which tool has which, as in 0=pla 1=abs", "estimate", "a", "--material", "pla", "--material", "abs")]
    [InlineData("--material: found '1=', expected an id, a file, or N=ID such as 0=pla", "estimate", "a", "--material", "1=")]
    [InlineData("--series: found '-', but the result goes to stdout already; send it elsewhere with --out FILE", "estimate", "a", "--series", "-")]
    [InlineData("--series is for one job, found 2; estimate them one by one for it", "estimate", "a", "b", "--series", "x.csv")]
    [InlineData("--plot is for one job, found 2; estimate them one by one for it", "estimate", "a", "b", "--plot", "x.svg")]
    [InlineData("--out: 'b' is also the job; name another file", "estimate", "a", "b", "--out", "b")]
    [InlineData("the JOB is missing (see fumecast evenness --help)", "evenness")]
    [InlineData("--plot: found 'x.pdf', expected a name that ends in .svg or .png", "evenness", "a", "--plot", "x.pdf")]
    [InlineData("unknown option '--nozle'; did you mean '--nozzle'? (see fumecast compare --help)", "compare", "a", "--nozle", "200")]
    [InlineData("there is only one job and nothing to compare it with; give another, or a what-if such as --nozzle 220,240", "compare", "a")]
    [InlineData("--nozzle and --nozzle-shift exclude each other; give one of them", "compare", "a", "--nozzle", "240", "--nozzle-shift", "5,10")]
    [InlineData("--nozzle: found '240' twice; give each value once", "compare", "a", "--nozzle", "240,250,240")]
    [InlineData("--nozzle: found nothing, expected a temperature such as 210 degC; separate several with commas", "compare", "a", "--nozzle", "240,")]
    [InlineData("--nozzle: found 'NaN', expected a temperature such as 210 degC; separate several with commas", "compare", "a", "--nozzle", "240,NaN")]
    [InlineData("--nozzle: found '900', expected a temperature from 20 degC to 500 degC", "compare", "a", "--nozzle", "240,900")]
    [InlineData("--speed: found '-50%', expected a share from 0.05 to 10", "compare", "a", "--speed", "100%,-50%")]
    [InlineData("--speed: found '60', expected a share from 0.05 to 10; for a percentage write 60 % or 0.6", "compare", "a", "--speed", "60")]
    [InlineData("--material: found 'pla' twice; give each material once", "compare", "a", "--material", "pla,abs,pla")]
    [InlineData("--material: found 'pla,', expected ids or files, separated by commas", "compare", "a", "--material", "pla,")]
    [InlineData("--material is missing; expected an id such as petg (see fumecast testprint --help)", "testprint")]
    [InlineData("--flow is missing; expected a filament flow such as 4mm3/s (see fumecast testprint --help)", "testprint", "--material", "pla")]
    [InlineData("--duration is missing; expected a time such as 6h (see fumecast testprint --help)", "testprint", "--material", "pla", "--flow", "4")]
    [InlineData("--out is missing; expected the name of a file, or - (see fumecast testprint --help)", "testprint", "--material", "pla", "--flow", "4", "--duration", "1h")]
    [InlineData("--phases: found 'warm=3min', expected background=TIME, purge=TIME or decay=TIME, such as background=30min,decay=60min", "testprint", "--phases", "warm=3min")]
    [InlineData("--phases: background: found '3x', expected a time in s, ms, min, m, h, d, such as 10 s", "testprint", "--phases", "background=3x")]
    [InlineData("--phases: decay: found '-3', expected a time from 0 s to 14 d", "testprint", "--phases", "decay=-3")]
    [InlineData("--phases: background: found '10' without a unit, which would be 10 s; write 10min, or 10s if seconds are meant", "testprint", "--phases", "background=10")]
    [InlineData("--duration: found '15d', expected a time from 60 s to 14 d", "testprint", "--duration", "15d")]
    [InlineData("--material: found 'x=pla'; 'x' is no tool number, expected an id, a file, or N=ID such as 0=pla", "estimate", "a", "--material", "x=pla")]
    [InlineData("--material: found '-1=pla'; '-1' is no tool number, expected an id, a file, or N=ID such as 0=pla", "estimate", "a", "--material", "-1=pla")]
    [InlineData("--material: found 'x=pla'; 'x' is no tool number, expected an id, a file, or N=ID such as 0=pla", "compare", "a", "--material", "x=pla")]
    [InlineData("--nozzle-if-unknown: found '1.5=215'; '1.5' is no tool number, expected a temperature in degC, or N=C such as 0=215", "evenness", "a", "--nozzle-if-unknown", "1.5=215")]
    [InlineData("--phases: found decay twice; give it once", "testprint", "--phases", "decay=1h,decay=2h")]
    [InlineData("--series: 'a' is also the job; name another file", "estimate", "a", "--series", "a")]
    [InlineData("unknown option '--foo' (see fumecast materials check --help)", "materials", "check", "--foo")]
    [InlineData("unknown option '--ouf'; did you mean '--out'? (see fumecast printers show --help)", "printers", "show", "--ouf")]
    [InlineData("unknown option '--foo' (see fumecast materials template --help)", "materials", "template", "--foo")]
    [InlineData("standard input can be read only once; give - once", "estimate", "-", "x", "-")]
    [InlineData("standard input can be read only once; give - once", "evenness", "-", "-")]
    [InlineData("--fan: found '150%', expected a share from 0 to 1", "testprint", "--fan", "150%")]
    [InlineData("--fan: found '50', expected a share from 0 to 1; for a percentage write 50 % or 0.5", "testprint", "--fan", "50")]
    [InlineData("--air-time: found '10' without a unit, which would be 10 s; write 10min, or 10s if seconds are meant", "evenness", "a", "--air-time", "10")]
    [InlineData("--nozzle-if-unknown: found '900', expected a temperature from 20 degC to 500 degC", "evenness", "a", "--nozzle-if-unknown", "900")]
    [InlineData("--plot: 'b.svg' is also --out; name another file", "estimate", "a", "--out", "b.svg", "--plot", "./b.svg")]
    public void A_mistake_is_said_in_one_line_with_exit_code_2(string line, params string[] args)
    {
        var ended = InMemory.Run(args);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.Equal($"fumecast: {line}\n".Replace("'./b.svg'", "'b.svg'"), ended.Error.Replace("'./b.svg'", "'b.svg'"));
    }

    [Theory]
    [InlineData("estimate", "a", "--bin")]
    [InlineData("estimate", "a", "--bin", "5", "--bin", "6")]
    [InlineData("estimate", "a", "--format")]
    [InlineData("materials", "lst")]
    public void Other_mistakes_name_what_is_wrong_too(params string[] args)
    {
        var ended = InMemory.Run(args);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith("fumecast: ", ended.Error);
        Assert.Contains(args[^1].StartsWith('-') ? args[^1] : args.Length > 4 ? "--bin" : args[^1], ended.Error);
        Assert.Equal(1, ended.Error.Count(static letter => letter == '\n'));
    }

    [Fact]
    public void A_control_character_in_an_argument_does_not_reach_the_terminal()
    {
        var ended = InMemory.Run(["estimate", "a", "--format", "\e[2J\n\nx"]);
        Assert.Equal(2, ended.ExitCode);
        Assert.DoesNotContain('\e', ended.Error);
        Assert.Equal(1, ended.Error.Count(static letter => letter == '\n'));
    }

    [Fact]
    public void Options_reach_the_forecast_in_their_units()
    {
        EstimateOptions? seen = null;
        var ended = InMemory.Run(
            ["estimate", "a.gcode", "--bin", "1min", "--interval", "50%", "--nozzle-shift", "-10", "--diameter", "2.85mm", "--density", "1240 kg/m3",
             "--material", "0=abs", "--material", "pla", "--printer", "fast", "--seed", "7", "--strict", "--purged", "--meter-interval=2s"],
            (job, options, series, progress, cancel) =>
            {
                seen = options;
                return InMemory.Sample(job, options, series, progress, cancel);
            });
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.NotNull(seen);
        Assert.Equal((60, 0.5, -10, 2.85), (seen.BinS, seen.Interval, seen.NozzleShiftK, seen.DiameterMm));
        Close.To(1.24, seen.DensityGPerCm3!.Value, 1e-15);
        Assert.Equal(("abs", "pla", "fast"), (seen.MaterialByTool[0], seen.Material, seen.Printer));
        Assert.Equal((7L, true, false, 2.0), (seen.Seed, seen.Strict, seen.StartDose, seen.MeterIntervalS));
        Assert.Null(seen.NozzleC);
    }

    [Fact]
    public void Without_options_the_defaults_are_the_documented_ones()
    {
        EstimateOptions? seen = null;
        InMemory.Run(["estimate", "a.gcode"], (job, options, series, progress, cancel) =>
        {
            seen = options;
            Assert.Null(series);
            Assert.Null(progress);
            return InMemory.Sample(job, options, series, progress, cancel);
        });
        Assert.NotNull(seen);
        Assert.Equal((10, 0.9, 10, 1, true, 0L, false), (seen.BinS, seen.Interval, seen.MeterIntervalS, seen.SpeedFactor, seen.StartDose, seen.Seed, seen.Strict));
        Assert.Empty(seen.MaterialByTool);
    }

    [Theory]
    [InlineData("fumecast estimate examples/", "--help")]
    [InlineData("fumecast estimate examples/", "estimate", "--help")]
    [InlineData("fumecast materials show ", "materials", "-h")]
    public void Help_shows_a_real_example(string example, params string[] args)
    {
        var ended = InMemory.Run(args);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.Contains("Example:\n  " + example, ended.Output);
    }

    [Theory]
    [InlineData(null, 80)]
    [InlineData(60, 60)]
    [InlineData(95, 95)]
    [InlineData(200, 100)]
    public void Help_is_as_wide_as_a_terminal_and_never_wider_than_can_be_read(int? terminal, int most)
    {
        string[][] commands =
        [
            [], ["estimate"], ["evenness"], ["compare"], ["room"], ["testprint"], ["materials"], ["materials", "list"], ["materials", "check"], ["printers", "template"], ["explain"], ["completion"],
        ];
        foreach (var command in commands)
        {
            var ended = terminal is { } width ? InMemory.OnTerminal(width, [.. command, "--help"]) : InMemory.Run([.. command, "--help"]);
            Assert.Equal(0, ended.ExitCode);
            Assert.All(ended.Output.Split('\n'), line => Assert.True(line.TrimEnd().Length <= most, $"{string.Join(' ', command)}: {line}"));
        }
    }

    [Fact]
    public void A_job_that_is_to_be_typed_is_asked_for_and_one_from_a_pipe_is_not()
    {
        Assert.Equal("fumecast: reading G-code from the keyboard; end it with Ctrl-D on a line of its own, or leave with Ctrl-C\n", Asked(isTerminal: true, "estimate", "-").Split('\n')[0] + "\n");
        Assert.DoesNotContain("keyboard", Asked(isTerminal: false, "estimate", "-"));
        Assert.DoesNotContain("keyboard", Asked(isTerminal: true, "estimate", "examples/lamp-clip/job.gcode"));
        Assert.Contains("keyboard", Asked(isTerminal: true, "evenness", "-"));

        static string Asked(bool isTerminal, params string[] args)
        {
            using var error = new StringWriter { NewLine = "\n" };
            CommandLine.Run(args, new Surroundings { Input = Stream.Null, Output = Stream.Null, Error = error, InputIsTerminal = isTerminal });
            return error.ToString();
        }
    }

    [Fact]
    public void The_examples_of_the_help_exist()
    {
        foreach (var command in new[] { Array.Empty<string>(), ["estimate"], ["evenness"], ["compare"] })
        {
            var help = InMemory.Run([.. command, "--help"]).Output;
            var job = help.Split(' ', '\n').First(static word => word.StartsWith("examples/", StringComparison.Ordinal));
            Assert.True(File.Exists(RepositoryRoot.Of(job)), job);
        }
    }

    [Fact]
    public void The_version_is_a_plain_number()
    {
        var ended = InMemory.Run(["--version"]);
        Assert.Equal(0, ended.ExitCode);
        Assert.Matches(@"^\d+\.\d+\.\d+\n$", ended.Output);
    }

    [Fact]
    public void Completion_offers_options_and_values()
    {
        Assert.Equal("--format\n", InMemory.Run(["[suggest:13]", "estimate --fo"]).Output);
        Assert.Equal("csv\njson\ntext\n", InMemory.Run(["[suggest:18]", "estimate --format "]).Output);
        Assert.Contains("abs\n", InMemory.Run(["[suggest:20]", "estimate --material "]).Output);
    }
}
