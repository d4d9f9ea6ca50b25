// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Report;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>The flow of one candidate for a trial. Receives the job's series while it is computed, in bounded memory.</summary>
public sealed class FlowStrip : ISeriesSink
{
    private const int Kept = 4000;

    internal SeriesBuffer Series { get; private set; } = new(Kept);

    /// <summary>Makes a strip of a flow that is known already.</summary>
    /// <param name="startS">Start of the first cell since the start of the job [s].</param>
    /// <param name="cellS">Length of a cell [s], over 0.</param>
    /// <param name="flowsMm3PerS">Mean flow in each cell [mm3/s].</param>
    public static FlowStrip FromMeans(double startS, double cellS, ReadOnlySpan<double> flowsMm3PerS)
    {
        var strip = new FlowStrip();
        for (var i = 0; i < flowsMm3PerS.Length; i++)
        {
            var row = new SeriesRow { TimeS = startS + (i * cellS), DurationS = cellS, FlowMm3PerS = flowsMm3PerS[i] };
            strip.Row(in row, []);
        }

        return strip;
    }

    /// <inheritdoc/>
    public void Begin(IReadOnlyList<SeriesAgent> agents) => Series = new SeriesBuffer(Kept);

    /// <inheritdoc/>
    public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
    {
        if (row.DurationS > 0)
        {
            Series.Add(new SeriesPoint
            {
                StartS = row.TimeS,
                EndS = row.TimeS + row.DurationS,
                FlowMm3PerS = row.FlowMm3PerS,
                FlowLow = row.FlowMm3PerS,
                FlowHigh = row.FlowMm3PerS,
                NozzleC = row.NozzleC,
            });
        }
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
    private const int Width = 1000;
    private const float Left = 60;
    private const float Right = 28;
    private const float Header = 96;
    private const float StripHeight = 62;
    private const float StripGap = 36;
    private const float Footer = 50;
    private const int MostStrips = 24;

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
        var highest = 0.0;
        for (var i = 0; i < shown; i++)
        {
            foreach (var point in ranked[i].Strip.Series.Points)
            {
                endS = Math.Max(endS, point.EndS);
                highest = Math.Max(highest, point.FlowHigh);
            }
        }

        var timeTicks = NiceTicks.Time(endS, 10, out var unit);
        var flowTicks = NiceTicks.Linear(0, highest > 0 ? highest : 1, 2);
        sheet.Text("How even is the flow?", Left, 38, 21, Palette.Ink, bold: true);
        sheet.Text(
            ranked.Count > shown
                ? string.Create(CultureInfo.InvariantCulture, $"Flow in mm³/s against time, the {shown} most even of {ranked.Count} jobs")
                : "Flow in mm³/s against time, the most even job first",
            Left, 60, 13.5f, Palette.Ink);
        for (var i = 0; i < shown; i++)
        {
            var top = Header + (i * (StripHeight + StripGap));
            DrawStrip(sheet, ranked[i], top, endS, highest > 0 ? highest : 1, timeTicks, flowTicks, isLast: i == shown - 1);
            DrawTitle(sheet, ranked[i], i + 1, top - 9);
        }

        sheet.Text($"time since the start of the job, {unit}", Width - Right, sheet.Height - Footer - StripGap + 38, 12, Palette.Faint, align: SKTextAlign.Right);
        sheet.Text("Lines: means. Pale bands: range of the flow within them.", Left, sheet.Height - 14, 11, Palette.Faint);
    }

    private static void DrawTitle(Sheet sheet, FlowStripEntry entry, int rank, float baseline)
    {
        var words = new List<string>();
        if (FlowWord(entry.Flow.Grade) is { } grade)
        {
            words.Add(grade);
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
        Sheet sheet, FlowStripEntry entry, float top, double endS, double highestMm3PerS, List<(double Value, string Label)> timeTicks,
        List<(double Value, string Label)> flowTicks, bool isLast)
    {
        var points = entry.Strip.Series.Reduced(600);
        var colour = Palette.Grade((int?)entry.Flow.Grade ?? 2);
        using var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        panel.XAxis(0, endS, timeTicks, isLast);
        panel.YAxis(0, highestMm3PerS * 1.06, flowTicks);
        if (points.Length > 0)
        {
            // A strip ends on the axis, so that a short job is not taken for one that goes on.
            double[] times = [.. Array.ConvertAll(points, static p => p.MiddleS), points[^1].EndS];
            panel.Band(
                times, [.. Array.ConvertAll(points, static p => p.FlowLow), 0], [.. Array.ConvertAll(points, static p => p.FlowHigh), 0], colour, 0.28);
            panel.Line(times, [.. Array.ConvertAll(points, static p => p.FlowMm3PerS), 0], colour, 1.2f);
        }

        panel.Draw(sheet, top, top + StripHeight);
    }
}
