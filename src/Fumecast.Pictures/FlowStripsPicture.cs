// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Report;
using ScottPlot;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>The flow of one candidate for a trial as an air meter would see it, and what the air would make of it and of the forecast emission.</summary>
public sealed class FlowStrip
{
    private const int Kept = 4096;

    private FlowStrip()
    {
    }

    internal SeriesBuffer Series { get; } = new(Kept);

    /// <summary>What the grade rests on, or null.</summary>
    internal JobInAir? InAir { get; private init; }

    /// <summary>Why the emission was not judged, or null.</summary>
    internal string? SourceMissing { get; private init; }

    /// <summary>The flow that is drawn at 1: the middle one of the means that are not 0; 0 when there is none [mm3/s].</summary>
    /// <remarks>
    /// The median of the flow itself leaves out travels and slow corners, which lie in every mean: means would then lie below 1 all the time.
    /// Means of 0 are left out, or a job that pauses for most of its time would have no scale.
    /// </remarks>
    internal double MedianMm3PerS
    {
        get
        {
            var flowing = new List<(double FlowMm3PerS, double S)>();
            foreach (var point in Series.Points)
            {
                if (point.FlowMm3PerS > 0)
                {
                    flowing.Add((point.FlowMm3PerS, point.EndS - point.StartS));
                }
            }

            // The last mean may be of a shorter time.
            flowing.Sort();
            var halfS = 0.5 * flowing.Sum(static one => one.S);
            return flowing.Find(one => (halfS -= one.S) <= 0).FlowMm3PerS;
        }
    }

    /// <summary>The strip of a job: means over the meter's interval, from the first deposit of the object to the last.</summary>
    /// <param name="profile">The job's flow; without its series the strip is empty.</param>
    public static FlowStrip Of(FlowProfile profile)
    {
        ArgumentNullException.ThrowIfNull(profile);
        var strip = new FlowStrip { InAir = profile.InAir, SourceMissing = profile.SourceMissing };
        if (profile.Series is not { Count: > 0 } series)
        {
            return strip;
        }

        var cells = (int)Math.Clamp(Math.Round(profile.Flow.IntervalS / series.CellS), 1, series.Count);
        for (var at = 0; at < series.Count; at += cells)
        {
            var volumes = series.VolumesMm3.Slice(at, Math.Min(cells, series.Count - at));
            var startS = at * series.CellS;
            var endS = Math.Max(startS + 1e-3, Math.Min(startS + volumes.Length * series.CellS, profile.Flow.PrintPhaseS ?? double.MaxValue));
            var volumeMm3 = 0.0;
            foreach (var volume in volumes)
            {
                volumeMm3 += volume;
            }

            var flow = volumeMm3 / (endS - startS);
            strip.Series.Add(new SeriesPoint { StartS = startS, EndS = endS, FlowMm3PerS = flow, FlowLow = flow, FlowHigh = flow });
        }

        return strip;
    }
}

/// <summary>A candidate of the picture.</summary>
/// <param name="Name">Name to show.</param>
/// <param name="Strip">Its flow, and what the air makes of it.</param>
/// <param name="Flow">How even it is.</param>
public sealed record FlowStripEntry(string Name, FlowStrip Strip, FlowEvenness Flow);

/// <summary>All candidates over one time axis, the most even one at the top: the flow, and below it what the grade rests on, the levels in the air.</summary>
public static class FlowStripsPicture
{
    /// <summary>Most candidates that are drawn [-].</summary>
    public const int MostStrips = 24;

    private const int Width = 1000;
    private const float Left = 60;
    private const float Right = 28;
    private const float Header = 104;
    private const float FlowHeight = 56;
    private const float AirGap = 30;
    private const float AirHeight = 56;
    private const float StripGap = 44;
    private const float Footer = 80;
    private const int MostPoints = 600;

    /// <summary>Top of a strip of flow, over the median; what goes beyond is drawn at the top [-].</summary>
    private const double HighestOverMedian = 2.2;

    /// <summary>Reach of the levels in the air to either side of their median; what goes beyond is drawn at the edge [-].</summary>
    /// <remarks>Ten times the wander of a flat print: it is seen, and a fair one hardly leaves the strip.</remarks>
    private const double LevelReach = 0.5;

    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="ranked">The candidates, best first; of more than 24 the best are drawn, and it is said.</param>
    public static void Write(Stream output, PictureFormat format, IReadOnlyList<FlowStripEntry> ranked)
    {
        var shown = Math.Min(ranked.Count, MostStrips);
        var height = (int)(Header + (shown * (FlowHeight + AirGap + AirHeight + StripGap)) + Footer);
        Sheet.Write(output, format, Width, height, sheet => Draw(sheet, ranked, shown));
    }

    private static void Draw(Sheet sheet, IReadOnlyList<FlowStripEntry> ranked, int shown)
    {
        var endS = 1.0;
        for (var i = 0; i < shown; i++)
        {
            foreach (var point in ranked[i].Strip.Series.Points)
            {
                endS = Math.Max(endS, point.EndS);
            }
        }

        var timeTicks = NiceTicks.Time(endS, 10, out var unit);
        sheet.Text("How even is it?", Left, 38, 21, Palette.Ink, bold: true);
        sheet.Text(
            "Flow, and below it the levels in the air that the grade rests on, each over its own median against time; "
            + (ranked.Count > shown ? string.Create(CultureInfo.InvariantCulture, $"the {shown} most even of {ranked.Count} jobs") : "the most even job first"),
            Left, 60, 13.5f, Palette.Ink);
        var top = Header;
        for (var i = 0; i < shown; i++)
        {
            var airTop = top + FlowHeight + AirGap;
            DrawFlow(sheet, ranked[i], top, endS, timeTicks);
            DrawAir(sheet, ranked[i], airTop, endS, timeTicks, isLast: i == shown - 1);
            DrawTitle(sheet, ranked[i], i + 1, top - 9);
            DrawKey(sheet, ranked[i], airTop - 9);
            top = airTop + AirHeight + StripGap;
        }

        sheet.Text($"time since the first deposit of the object, {unit}", Width - Right, sheet.Height - Footer - StripGap + 38, 12, Palette.Faint, align: SKTextAlign.Right);
        var intervalS = ranked.Count > 0 ? ranked[0].Flow.IntervalS : 0;
        var airTimeS = ranked.Select(static entry => entry.Flow.PlateauTimeConstantS).FirstOrDefault(static known => known is not null) ?? RoomSmoothing.TimeConstantS;
        sheet.Text(
            string.Create(CultureInfo.InvariantCulture, $"Upper strips: the flow as a meter that logs every {intervalS:0.##} s would see it. Lines: means. Pale bands: range of those means."),
            Left, sheet.Height - 46, 11, Palette.Faint);
        sheet.Text(
            $"Lower strips: the same flow and the forecast emission, as air with a time constant of {Amounts.Duration(airTimeS)} would smooth them; rules at 0.9 and 1.1. Shaded: when to read the meter.",
            Left, sheet.Height - 30, 11, Palette.Faint);
        sheet.Text("What goes beyond a scale is drawn at its edge. A forecast of how steady, not of how much.", Left, sheet.Height - 14, 11, Palette.Faint);
    }

    private static void DrawTitle(Sheet sheet, FlowStripEntry entry, int rank, float baseline)
    {
        var words = new List<string>();
        if (entry.Flow.IsTooShort)
        {
            words.Add(EvennessAdvice.TooShort);
        }

        if (FlowJson.GradeName(entry.Flow.Grade) is { } grade)
        {
            words.Add(entry.Flow.IsTooShort ? $"else {grade}" : grade);
        }

        if (entry.Flow.IsOfFlowAlone)
        {
            words.Add(EvennessAdvice.FlowOnly);
        }

        if (entry.Strip.MedianMm3PerS is > 0 and var medianMm3PerS)
        {
            words.Add($"1 is {Amounts.Significant(medianMm3PerS, 3)} mm³/s");
        }

        if (entry.Flow.Cv is { } cv)
        {
            words.Add(string.Create(CultureInfo.InvariantCulture, $"varies by {Amounts.Percent(cv)} at {entry.Flow.IntervalS:0.##} s"));
        }

        if (entry.Flow.IdleShare is { } idle)
        {
            words.Add($"{Amounts.Percent(idle)} idle");
        }

        var facts = string.Join(", ", words);
        var room = Width - Left - Right - Sheet.Measure(facts, 12.5f) - 30;
        var name = Sheet.Fit(string.Create(CultureInfo.InvariantCulture, $"{rank}. {entry.Name}"), room, 13.5f, bold: true);
        sheet.Text(name, Left, baseline, 13.5f, Palette.Ink, bold: true);
        sheet.Text(facts, Width - Right, baseline, 12.5f, Palette.Ink, align: SKTextAlign.Right);
    }

    /// <summary>Names the curves of the lower strip, with the grade of each.</summary>
    private static void DrawKey(Sheet sheet, FlowStripEntry entry, float baseline)
    {
        const float size = 11.5f;
        sheet.Text("in the air:", Left, baseline, size, Palette.Faint);
        var x = Left + Sheet.Measure("in the air:", size) + 14;
        foreach (var curve in Curves(entry))
        {
            for (var dash = 0; dash < (curve.IsDashed ? 3 : 1); dash++)
            {
                var from = x + (dash * 9);
                sheet.Fill(from, from + (curve.IsDashed ? 6 : 24), baseline - 4 - (curve.Width / 2), baseline - 4 + (curve.Width / 2), curve.Colour);
            }

            x += 30;
            var words = $"{curve.Name} {FlowJson.GradeName(curve.Grade)}, wanders by {Amounts.Percent(curve.Wander)}";
            sheet.Text(words, x, baseline, size, Palette.Ink);
            x += Sheet.Measure(words, size) + 22;
        }

        if (entry.Flow.IsOfFlowAlone)
        {
            var words = EvennessAdvice.FlowOnly + (entry.Strip.SourceMissing is { } missing ? $": {missing}" : "");
            sheet.Text(Sheet.Fit(words, Width - Right - x, size), x, baseline, size, Palette.Ink);
        }
        else if (entry.Flow.Grade is null)
        {
            sheet.Text(entry.Flow.PrintPhaseS is null ? "nothing is deposited" : EvennessAdvice.TooShortToJudge, x, baseline, size, Palette.Ink);
        }
    }

    /// <summary>What is graded, as it is drawn.</summary>
    private static IEnumerable<(string Name, LevelsInAir Air, EvennessGrade Grade, double Wander, Color Colour, float Width, bool IsDashed)> Curves(FlowStripEntry entry)
    {
        var (flow, air) = (entry.Flow, entry.Strip.InAir);
        if (air?.Flow is { } flowInAir && flow is { FlowGrade: { } flowGrade, PlateauWander: { } wander })
        {
            yield return ("flow", flowInAir, flowGrade, wander, ColourOf(flow), 1.2f, false);
        }

        if (air?.ParticleNumber is { } numberInAir && flow.Source?.ParticleNumber is { } number)
        {
            yield return ("particles", numberInAir, number.Grade, number.PlateauWander, Palette.Particles, 2.2f, false);
        }

        if (air?.Tvoc is { } tvocInAir && flow.Source?.Tvoc is { } tvoc)
        {
            yield return ("vapours (TVOC)", tvocInAir, tvoc.Grade, tvoc.PlateauWander, Palette.Vapours, 2.2f, true);
        }
    }

    private static Color ColourOf(FlowEvenness flow) => Palette.Grade((int?)flow.Grade ?? 2);

    private static void DrawFlow(Sheet sheet, FlowStripEntry entry, float top, double endS, List<(double Value, string Label)> timeTicks)
    {
        using var panel = PanelOf(entry, endS, timeTicks, isLast: false);

        // To its own median each: on one scale a small flow would be a flat line, and so look even.
        panel.YAxis(0, HighestOverMedian, [(0, "0"), (1, "1"), (2, "2")]);
        var points = entry.Strip.Series.Reduced(MostPoints);
        var scale = entry.Strip.MedianMm3PerS is > 0 and var medianMm3PerS ? 1 / medianMm3PerS : 0;
        double Shown(double flowMm3PerS) => Math.Min(flowMm3PerS * scale, HighestOverMedian);
        if (points.Length > 0)
        {
            // A strip ends on the axis, so that a short job is not taken for one that goes on.
            var colour = ColourOf(entry.Flow);
            double[] times = [.. Array.ConvertAll(points, static p => p.MiddleS), points[^1].EndS];
            panel.Band(
                times, [.. Array.ConvertAll(points, p => Shown(p.FlowLow)), 0], [.. Array.ConvertAll(points, p => Shown(p.FlowHigh)), 0], colour, 0.28);
            panel.Line(times, [.. Array.ConvertAll(points, p => Shown(p.FlowMm3PerS)), 0], colour, 1.2f);
        }

        panel.Draw(sheet, top, top + FlowHeight);
    }

    private static void DrawAir(Sheet sheet, FlowStripEntry entry, float top, double endS, List<(double Value, string Label)> timeTicks, bool isLast)
    {
        using var panel = PanelOf(entry, endS, timeTicks, isLast);
        var (low, high) = (1 - LevelReach, 1 + LevelReach);
        panel.YAxis(low, high, [(low, "0.5"), (1 - RoomSmoothing.PlateauBand, ""), (1, "1"), (1 + RoomSmoothing.PlateauBand, ""), (high, "1.5")]);
        foreach (var curve in Curves(entry))
        {
            var (times, levels) = Reduced(curve.Air);
            panel.Line(times, Array.ConvertAll(levels, level => Math.Clamp(level, low, high)), curve.Colour, curve.Width, curve.IsDashed);
        }

        panel.Draw(sheet, top, top + AirHeight);
    }

    private static Panel PanelOf(FlowStripEntry entry, double endS, List<(double Value, string Label)> timeTicks, bool isLast)
    {
        var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        panel.XAxis(0, endS, timeTicks, isLast);
        if (entry.Flow is { ReadFromS: { } fromS, ReadToS: { } toS })
        {
            panel.Shade(fromS, toS);
        }

        return panel;
    }

    /// <summary>Levels over their median, in no more points than can be seen; each is the level at the end of its cells.</summary>
    private static (double[] TimesS, double[] Levels) Reduced(LevelsInAir air)
    {
        var group = (air.Levels.Length + MostPoints - 1) / MostPoints;
        var median = air.Median;
        var (times, levels) = (new List<double>(), new List<double>());
        for (var at = Math.Min(group, air.Levels.Length) - 1; at < air.Levels.Length; at += group)
        {
            times.Add(air.FromS + ((at + 1) * air.CellS));
            levels.Add(air.Levels[at] / median);
        }

        return ([.. times], [.. levels]);
    }
}
