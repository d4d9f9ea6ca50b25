// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Properties;

/// <summary>The same print written in other words must give the same result; small generated jobs through the front door.</summary>
public class SamePrint
{
    /// <summary>A move by whole steps of 0.001 in = 0.0254 mm, so that inches and millimetres are both exact decimals.</summary>
    private sealed record Step(int X, int Y, int E, int FeedInPerMin);

    /// <summary>How to write it down.</summary>
    private sealed record Manner
    {
        public bool Inches { get; init; }

        public bool Absolute { get; init; }

        public string End { get; init; } = "\n";

        public int Split { get; init; } = 1;

        public bool Comments { get; init; }

        public bool Numbered { get; init; }

        public bool Lower { get; init; }

        public string Blank { get; init; } = " ";
    }

    // Even numbers of steps, so that each move can be cut in two; E words of moves along the bed, or of the filament alone.
    private static readonly Gen<Step> Printing = Gen.Select(
        Gen.Int[-600, 600], Gen.Int[-600, 600], Gen.Int[0, 300], Gen.Int[20, 400], static (x, y, e, feed) => new Step(2 * x, 2 * y, 2 * e, feed));

    private static readonly Gen<Step> Retracting = Gen.Select(
        Gen.Int[-80, 80], Gen.Int[20, 120], static (e, feed) => new Step(0, 0, 2 * e, feed));

    private static readonly Gen<Step[]> Jobs = Gen.Frequency((4, Printing), (1, Retracting)).Array[3, 30]
        .Select(static steps => (Step[])[new Step(40, 40, 60, 60), .. steps]);

    private static readonly EstimateOptions Abs = new() { Material = "abs" };

    private static readonly ForecastRun Forecasts = new(Abs);

    private static string Write(Step[] job, Manner manner)
    {
        var lines = new List<string> { manner.Inches ? "G20" : "G21", "G90", manner.Absolute ? "M82" : "M83", "M104 S240", "M109 S240", "G92 X0 Y0 E0" };
        var (x, y, e) = (0L, 0L, 0L);
        foreach (var step in job)
        {
            var pieces = step.X == 0 && step.Y == 0 ? 1 : manner.Split;
            for (var piece = 0; piece < pieces; piece++)
            {
                (x, y, e) = (x + (step.X / pieces), y + (step.Y / pieces), e + (step.E / pieces));
                var line = "G1";
                if (step.X != 0 || step.Y != 0)
                {
                    line += $" X{Length(x)} Y{Length(y)}";
                }

                if (step.E != 0)
                {
                    line += $" E{Length(manner.Absolute ? e : step.E / pieces)}";
                }

                lines.Add($"{line} F{Text(manner.Inches ? step.FeedInPerMin : step.FeedInPerMin * 25.4m)}");
            }
        }

        var text = new StringBuilder();
        for (var i = 0; i < lines.Count; i++)
        {
            var line = lines[i].Replace(" ", manner.Blank, StringComparison.Ordinal);
            line = manner.Lower ? line.ToLowerInvariant() : line;
            if (manner.Numbered)
            {
                line = $"N{i + 1} {line}";
                line += $"*{line.Aggregate(0, static (sum, letter) => sum ^ letter)}";
            }

            if (manner.Comments)
            {
                text.Append(i % 3 == 0 ? "; G1 X999 E999" + manner.End : i % 3 == 1 ? "(M104 S0)" + manner.End : manner.End);
                line += manner.Numbered ? "" : i % 2 == 0 ? " ; side" : " (side)";
            }

            text.Append(line).Append(manner.End);
        }

        return text.ToString();

        string Length(long steps) => Text(manner.Inches ? steps * 0.001m : steps * 0.0254m);
    }

    private static string Text(decimal value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    private static JobEstimate Run(string text, EstimateOptions? options = null, ISeriesSink? series = null)
    {
        using var stdin = new MemoryStream(Encoding.UTF8.GetBytes(text));
        return Forecasts.Run("-", (options ?? Abs) with { Stdin = stdin }, series, progress: null, forComparison: false, CancellationToken.None).Estimate;
    }

    private static void AssertSame(JobEstimate expected, JobEstimate actual)
    {
        Near(expected.Job.Tools.Sum(static tool => tool.DepositedMm3), actual.Job.Tools.Sum(static tool => tool.DepositedMm3));
        Near(expected.Job.Tools.Sum(static tool => tool.FedMm), actual.Job.Tools.Sum(static tool => tool.FedMm), floor: 1e-3);
        Near(expected.Job.Time.TotalS, actual.Job.Time.TotalS);
        Near(expected.Job.Time.MotionS, actual.Job.Time.MotionS);
        Assert.Equal(expected.Emission.Count, actual.Emission.Count);
        for (var i = 0; i < expected.Emission.Count; i++)
        {
            // The totals follow the nozzle's temperature exponentially, and the heater the clock: three digits of the 1e-9 are theirs.
            Near(expected.Emission[i].Total.Median, actual.Emission[i].Total.Median, 1e-6);
            Near(expected.Emission[i].Total.High, actual.Emission[i].Total.High, 1e-6);
        }
    }

    private static void Near(double expected, double actual, double relative = 1e-9, double floor = 0) =>
        Assert.True(
            Math.Abs(expected - actual) <= relative * Math.Max(Math.Abs(expected), floor), FormattableString.Invariant($"expected {expected:R}, got {actual:R}"));

    private static void SameAsPlain(Manner manner, int iter = 8) => Jobs.Sample(job =>
    {
        var plain = Run(Write(job, new Manner()));
        var other = Run(Write(job, manner));
        AssertSame(plain, other);
        if (manner.Split == 1)
        {
            Assert.Equal(plain.Job.ExtrudingMoves, other.Job.ExtrudingMoves);
        }
    }, iter: iter, threads: 1);

    [Fact]
    public void In_inches() => SameAsPlain(new Manner { Inches = true });

    [Fact]
    public void With_absolute_filament() => SameAsPlain(new Manner { Absolute = true });

    [Fact]
    public void In_inches_with_absolute_filament() => SameAsPlain(new Manner { Inches = true, Absolute = true });

    [Theory]
    [InlineData("\r\n")]
    [InlineData("\r")]
    [InlineData("\r\r\n")]
    public void With_other_line_ends(string end) => SameAsPlain(new Manner { End = end }, 3);

    [Fact]
    public void With_each_move_cut_in_two() => SameAsPlain(new Manner { Split = 2 });

    [Fact]
    public void With_comments() => SameAsPlain(new Manner { Comments = true });

    [Fact]
    public void With_line_numbers_and_checksums() => SameAsPlain(new Manner { Numbered = true });

    [Fact]
    public void In_lower_case() => SameAsPlain(new Manner { Lower = true }, 4);

    [Theory]
    [InlineData("")]
    [InlineData("\t ")]
    public void With_other_blanks(string blank) => SameAsPlain(new Manner { Blank = blank }, 3);

    [Fact]
    public void In_all_manners_at_once() => SameAsPlain(
        new Manner { Inches = true, Absolute = true, End = "\r\n", Split = 2, Comments = true, Numbered = true, Lower = true, Blank = "" });

    [Fact]
    public void Another_speed_changes_the_time_and_not_the_filament() => Gen.Select(Jobs, Gen.Double[0.2, 0.9]).Sample((job, factor) =>
    {
        var text = Write(job, new Manner());
        var plain = Run(text);
        var slower = Run(text, Abs with { SpeedFactor = factor });
        Near(plain.Job.Tools.Sum(static tool => tool.DepositedMm3), slower.Job.Tools.Sum(static tool => tool.DepositedMm3));
        Assert.True(slower.Job.Time.MotionS > plain.Job.Time.MotionS);

        // All limits are as before, so no move takes longer than at a clock slowed down by the factor.
        Assert.True(slower.Job.Time.MotionS <= plain.Job.Time.MotionS / factor * (1 + 1e-9));
    }, iter: 8, threads: 1);

    [Fact]
    public void The_bins_sum_to_the_totals_whatever_their_length() => Gen.Select(Jobs, Gen.Double[0.1, 40]).Sample((job, binS) =>
    {
        var sums = new Sums();
        var estimate = Run(Write(job, new Manner()), Abs with { BinS = binS }, sums);
        Near(estimate.Job.Tools.Sum(static tool => tool.DepositedMm3), sums.Mm3);
        Near(estimate.Job.Tools.Sum(static tool => tool.DepositedG), sums.G);
        Near(estimate.Job.Time.TotalS, sums.Seconds);
        var totals = estimate.Emission.ToDictionary(static agent => agent.Agent.Id, static agent => agent.Total.Median);
        Assert.Equal(totals.Keys.Order(), sums.Agents.Order());
        for (var i = 0; i < sums.Amounts.Length; i++)
        {
            Near(totals[sums.Agents[i]], sums.Amounts[i]);
        }
    }, iter: 8, threads: 1);

    [Fact]
    public void Without_extrusion_only_the_hot_nozzle_gives_off() => Jobs.Sample(job =>
    {
        var idle = Write([.. job.Select(static step => step with { E = 0 })], new Manner());
        var hot = Run(idle);
        Assert.Contains(hot.Diagnostics, static entry => entry.Code == "nothing-extruded");
        Assert.Equal(0, hot.Job.ExtrudingMoves);
        foreach (var agent in hot.Emission)
        {
            Assert.Equal(0, agent.Printing.High);
            Near(agent.Total.Median, agent.WarmUp.Median + agent.IdleHot.Median);
        }

        var cold = Run(idle.Replace("M104 S240", "M104 S0", StringComparison.Ordinal).Replace("M109 S240", "M109 S0", StringComparison.Ordinal));
        Assert.All(cold.Emission, static agent => Assert.Equal(0, agent.Total.High));
    }, iter: 5, threads: 1);

    [Fact]
    public void Twice_the_yield_is_twice_the_emission()
    {
        var folder = Directory.CreateTempSubdirectory("fumecast-").FullName;
        try
        {
            var yaml = File.ReadAllText(RepositoryRoot.Of("materials", "pla.yaml"));
            var once = Path.Combine(folder, "once.yaml");
            var twice = Path.Combine(folder, "twice.yaml");
            File.WriteAllText(once, Replaced(Replaced(yaml, "value: 3e9 1/g", "value: 1e6 1/g"), "value: 50 ug/g", "value: 20 ug/g"));
            File.WriteAllText(twice, Replaced(Replaced(yaml, "value: 3e9 1/g", "value: 2e6 1/g"), "value: 50 ug/g", "value: 40 ug/g"));
            Jobs.Sample(job =>
            {
                var text = Write(job, new Manner());
                var (a, b) = (Run(text, Of(once)).Emission, Run(text, Of(twice)).Emission);
                for (var i = 0; i < a.Count; i++)
                {
                    Near(2 * a[i].Total.Median, b[i].Total.Median);
                    Near(2 * a[i].PeakPerMin.Median, b[i].PeakPerMin.Median);
                }
            }, iter: 4, threads: 1);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }

        static EstimateOptions Of(string material) => new() { MaterialByTool = new Dictionary<int, string> { [0] = material } };

        static string Replaced(string text, string from, string to)
        {
            Assert.Contains(from, text);
            return text.Replace(from, to, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("de-DE")]
    [InlineData("tr-TR")]
    [InlineData("ar-SA")]
    [InlineData("fa-IR")]
    [InlineData("sv-SE")]
    public void In_any_culture(string name) => Jobs.Sample(job =>
    {
        var text = Write(job, new Manner { Lower = true }) + "start_print extruder_temp=231 bed=55\n";
        Assert.Equal(Reports(text, CultureInfo.InvariantCulture), Reports(text, CultureInfo.GetCultureInfo(name)));
    }, iter: 2, threads: 1);

    private static string Reports(string text, CultureInfo culture)
    {
        var before = CultureInfo.CurrentCulture;
        CultureInfo.CurrentCulture = culture;
        try
        {
            using var output = new MemoryStream();
            var series = new SeriesCsv(output, 10);
            var estimate = Run(text, series: series);
            series.Flush();
            EstimateJson.Write(output, estimate);
            using var page = new StringWriter(CultureInfo.InvariantCulture);
            EstimateText.Write(page, estimate, new TextStyle());
            EstimateCsv.WriteRow(page, estimate);
            return Encoding.UTF8.GetString(output.ToArray()) + page;
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    private sealed class Sums : ISeriesSink
    {
        public string[] Agents { get; private set; } = [];

        public double[] Amounts { get; private set; } = [];

        public double Mm3 { get; private set; }

        public double G { get; private set; }

        public double Seconds { get; private set; }

        public void Begin(IReadOnlyList<Agent> agents)
        {
            Agents = [.. agents.Select(static agent => agent.Id)];
            Amounts = new double[agents.Count];
            (Mm3, G, Seconds) = (0, 0, 0);
        }

        public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
        {
            Mm3 += row.FlowMm3PerS * row.DurationS;
            G += row.MassRateGPerH * row.DurationS / 3600;
            Seconds += row.DurationS;
            for (var i = 0; i < ratesPerMin.Length; i++)
            {
                Amounts[i] += ratesPerMin[i].Median * row.DurationS / 60;
            }
        }
    }
}
