// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Report;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>The flow of one candidate for a trial, as an air meter would see it.</summary>
public sealed class FlowStrip
{
    private const int Kept = 4096;

    private FlowStrip()
    {
    }

    internal SeriesBuffer Series { get; } = new(Kept);

    /// <summary>The strip of a job: means over the meter's interval, from the first deposit of the object to the last.</summary>
    /// <param name="profile">The job's flow; without its series the strip is empty.</param>
    public static FlowStrip Of(FlowProfile profile)
    {
        ArgumentNullException.ThrowIfNull(profile);
        var strip = new FlowStrip();
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
/// <param name="Strip">Its flow.</param>
/// <param name="Flow">How even it is.</param>
public sealed record FlowStripEntry(string Name, FlowStrip Strip, FlowEvenness Flow);

/// <summary>The flow of all candidates as strips over one time axis, the most even one at the top.</summary>
public static class FlowStripsPicture
{
    /// <summary>Most candidates that are drawn [-].</summary>
    public const int MostStrips = 24;

    private const int Width = 1000;
    private const float Left = 60;
    private const float Right = 28;
    private const float Header = 96;
    private const float StripHeight = 62;
    private const float StripGap = 36;
    private const float Footer = 50;

    /// <summary>Top of a strip, over the median; what goes beyond is drawn at the top [-].</summary>
    private const double HighestOverMedian = 2.2;

    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="ranked">The candidates, best first; of more than 24 the best are drawn, and it is said.</param>
    public static void Write(Stream output, PictureFormat format, IReadOnlyList<FlowStripEntry> ranked)
    {
        var shown = Math.Min(ranked.Count, MostStrips);
        var height = (int)(Header + (shown * (StripHeight + StripGap)) + Footer);
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
        sheet.Text("How even is the flow?", Left, 38, 21, Palette.Ink, bold: true);
        sheet.Text(
            ranked.Count > shown
                ? string.Create(CultureInfo.InvariantCulture, $"Flow over its own median against time, the {shown} most even of {ranked.Count} jobs")
                : "Flow over its own median against time, the most even job first",
            Left, 60, 13.5f, Palette.Ink);
        for (var i = 0; i < shown; i++)
        {
            var top = Header + (i * (StripHeight + StripGap));
            DrawStrip(sheet, ranked[i], top, endS, timeTicks, isLast: i == shown - 1);
            DrawTitle(sheet, ranked[i], i + 1, top - 9);
        }

        sheet.Text($"time since the first deposit of the object, {unit}", Width - Right, sheet.Height - Footer - StripGap + 38, 12, Palette.Faint, align: SKTextAlign.Right);
        var intervalS = ranked.Count > 0 ? ranked[0].Flow.IntervalS : 0;
        sheet.Text(
            string.Create(CultureInfo.InvariantCulture, $"The flow as a meter that logs every {intervalS:0.##} s would see it. Lines: means. Pale bands: range of those means. Shaded: when to read the meter."),
            Left, sheet.Height - 14, 11, Palette.Faint);
    }

    private static void DrawTitle(Sheet sheet, FlowStripEntry entry, int rank, float baseline)
    {
        var words = new List<string>();
        if (FlowWord(entry.Flow.Grade) is { } grade)
        {
            words.Add(grade);
        }

        if (entry.Flow.MedianMm3PerS is { } medianMm3PerS)
        {
            words.Add(string.Create(CultureInfo.InvariantCulture, $"median {Amounts.Significant(medianMm3PerS, 3)} mm³/s"));
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

    private static string? FlowWord(EvennessGrade? grade) => grade switch
    {
        EvennessGrade.Flat => "flat",
        EvennessGrade.Fair => "fair",
        EvennessGrade.Uneven => "uneven",
        _ => null,
    };

    private static void DrawStrip(
        Sheet sheet, FlowStripEntry entry, float top, double endS, List<(double Value, string Label)> timeTicks, bool isLast)
    {
        var points = entry.Strip.Series.Reduced(600);
        var colour = Palette.Grade((int?)entry.Flow.Grade ?? 2);
        using var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        panel.XAxis(0, endS, timeTicks, isLast);
        if (entry.Flow is { ReadFromS: { } fromS, ReadToS: { } toS })
        {
            panel.Shade(fromS, toS);
        }

        // To its own median each: on one scale a small flow would be a flat line, and so look even.
        panel.YAxis(0, HighestOverMedian, [(0, "0"), (1, "1"), (2, "2")]);
        var scale = entry.Flow.MedianMm3PerS is > 0 and var medianMm3PerS ? 1 / medianMm3PerS : 0;
        double Shown(double flowMm3PerS) => Math.Min(flowMm3PerS * scale, HighestOverMedian);
        if (points.Length > 0)
        {
            // A strip ends on the axis, so that a short job is not taken for one that goes on.
            double[] times = [.. Array.ConvertAll(points, static p => p.MiddleS), points[^1].EndS];
            panel.Band(
                times, [.. Array.ConvertAll(points, p => Shown(p.FlowLow)), 0], [.. Array.ConvertAll(points, p => Shown(p.FlowHigh)), 0], colour, 0.28);
            panel.Line(times, [.. Array.ConvertAll(points, p => Shown(p.FlowMm3PerS)), 0], colour, 1.2f);
        }

        panel.Draw(sheet, top, top + StripHeight);
    }
}
