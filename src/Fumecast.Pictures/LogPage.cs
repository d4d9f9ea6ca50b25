// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Report;
using Fumecast.Trial;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>Lays out the picture of a log.</summary>
internal sealed class LogPage : IDisposable
{
    private const int Width = 1000;
    private const float Left = 76;
    private const float Right = 28;
    private const float HeaderHeight = 96;
    private const float PanelHeight = 150;
    private const float PanelGap = 44;
    private const float AxisHeight = 40;
    private const float FooterHeight = 34;
    private const float MarkHeight = 4;
    private const int Columns = 880;
    private const int MostCurves = 6;
    private const int MostPanels = 10;
    private const int StepsForMiddle = 50_000;

    /// <summary>Longer stretches without a reading, in usual steps, are not bridged by a line [-].</summary>
    private const double BridgedIntervals = 10;

    private static readonly string[][] Together = [["pm1", "pm25", "pm4", "pm10"], ["number"], ["tvoc"], ["tvoc_index"], ["formaldehyde"], ["co2"], ["temperature"], ["humidity"]];

    private readonly MeterLog _log;
    private readonly double _lengthS;
    private readonly List<LogPanel> _panels = [];

    /// <summary>Quantities over one scale.</summary>
    private sealed record LogPanel(Panel Panel, string Unit, List<LogQuantity> Quantities, List<double> OverS);

    public LogPage(MeterLog log)
    {
        PictureFont.Register();
        _log = log;
        _lengthS = Math.Max(log.ToS - log.FromS, 1);
        foreach (var kinds in Together)
        {
            // Two units of one kind, such as ppb and ug/m3, have scales of their own.
            foreach (var group in log.Quantities.Where(quantity => kinds.Contains(quantity.Kind) && quantity.UsedCount > 0).GroupBy(static quantity => quantity.Unit))
            {
                foreach (var few in group.Chunk(MostCurves))
                {
                    if (_panels.Count < MostPanels)
                    {
                        Add([.. few]);
                    }
                }
            }
        }
    }

    /// <summary>Writes the page.</summary>
    public void Write(Stream output, PictureFormat format) =>
        Sheet.Write(output, format, Width, (int)MathF.Ceiling(HeaderHeight + (_panels.Count * (PanelHeight + PanelGap)) + AxisHeight - PanelGap + FooterHeight + 8), Draw);

    /// <inheritdoc/>
    public void Dispose() => _panels.ForEach(static panel => panel.Panel.Dispose());

    private void Add(List<LogQuantity> quantities)
    {
        var (low, high) = (quantities.Min(static quantity => quantity.Min!.Value), quantities.Max(static quantity => quantity.Max!.Value));
        if (quantities[0].Kind is not ("temperature" or "humidity" or "co2"))
        {
            low = Math.Min(0, low);
        }

        if (!(high > low))
        {
            (low, high) = (low - 1, high + 1);
        }

        var ticks = NiceTicks.Linear(low, high, 4);
        var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        panel.YAxis(ticks[0].Value, ticks[^1].Value, ticks);
        for (var i = quantities.Count - 1; i >= 0; i--)
        {
            foreach (var (times, values) in Pieces(quantities[i]))
            {
                if (times.Length == 1)
                {
                    panel.Dot(times[0], values[0], Palette.Zone(i), 3);
                }
                else
                {
                    panel.Line(times, values, Palette.Zone(i), 1.3f);
                }
            }
        }

        var over = new List<double>();
        foreach (var quantity in quantities)
        {
            for (var i = 0; i < quantity.States.Length; i++)
            {
                if (quantity.States[i] == ReadingState.OverRange)
                {
                    over.Add(quantity.TimesS[i] - _log.FromS);
                }
            }
        }

        _panels.Add(new LogPanel(panel, LogWordsOf.Unit(quantities[0].Unit), quantities, over));
    }

    /// <summary>A curve between gaps; of many readings in a column of the picture the first, the lowest, the highest and the last stay.</summary>
    private List<(double[] Times, double[] Values)> Pieces(LogQuantity quantity)
    {
        var times = quantity.TimesS;
        var values = quantity.Values;
        var pieces = new List<(double[], double[])>();
        var (xs, ys) = (new List<double>(), new List<double>());
        var bridgedS = Math.Max(BridgedIntervals * MiddleStep(quantity), 3 * _lengthS / Columns);
        var before = -1;
        for (var from = NextUsed(quantity, 0); from < times.Length;)
        {
            if (before >= 0 && times[from] - times[before] > bridgedS)
            {
                pieces.Add(([.. xs], [.. ys]));
                xs.Clear();
                ys.Clear();
            }

            var column = Math.Floor((times[from] - _log.FromS) / _lengthS * Columns);
            var (lowest, highest) = (from, from);
            before = from;
            var at = NextUsed(quantity, from + 1);
            while (at < times.Length && Math.Floor((times[at] - _log.FromS) / _lengthS * Columns) == column && times[at] - times[before] <= bridgedS)
            {
                lowest = values[at] < values[lowest] ? at : lowest;
                highest = values[at] > values[highest] ? at : highest;
                before = at;
                at = NextUsed(quantity, at + 1);
            }

            foreach (var kept in new[] { from, Math.Min(lowest, highest), Math.Max(lowest, highest), before }.Distinct())
            {
                xs.Add(times[kept] - _log.FromS);
                ys.Add(values[kept]);
            }

            from = at;
        }

        pieces.Add(([.. xs], [.. ys]));
        return pieces.FindAll(static piece => piece.Item1.Length > 0);
    }

    private static int NextUsed(LogQuantity quantity, int at)
    {
        while (at < quantity.States.Length && quantity.States[at] != ReadingState.Used)
        {
            at++;
        }

        return at;
    }

    /// <summary>Readings of one quantity may be rarer than rows; enough of them are looked at.</summary>
    private static double MiddleStep(LogQuantity quantity)
    {
        var steps = new List<double>();
        var last = NextUsed(quantity, 0);
        for (var at = NextUsed(quantity, last + 1); at < quantity.States.Length && steps.Count < StepsForMiddle; at = NextUsed(quantity, at + 1))
        {
            steps.Add(quantity.TimesS[at] - quantity.TimesS[last]);
            last = at;
        }

        steps.Sort();
        return steps.Count == 0 ? 0 : steps[steps.Count / 2];
    }

    private void Draw(Sheet sheet)
    {
        var name = _log.File == "-" ? "the log on standard input" : _log.File;
        sheet.Text(Sheet.Fit(name, Width - 24 - Right, 21, bold: true), 24, 38, 21, Palette.Ink, bold: true);
        sheet.Text(Sheet.Fit(Summary(), Width - 24 - Right, 13.5f), 24, 60, 13.5f, Palette.Ink);
        var ticks = NiceTicks.Time(_lengthS, 10, out var unit);
        var top = HeaderHeight;
        foreach (var panel in _panels)
        {
            panel.Panel.XAxis(0, _lengthS, ticks, showLabels: panel == _panels[^1]);
            panel.Panel.Draw(sheet, top, top + PanelHeight);
            DrawKey(sheet, panel, top - 10);
            foreach (var at in panel.OverS.Select(static at => Math.Floor(at)).Distinct())
            {
                var x = Left + (float)(at / _lengthS * (Width - Left - Right));
                sheet.Fill(x - 0.6f, x + 0.6f, top - MarkHeight, top, Palette.Heat);
            }

            top += PanelHeight + PanelGap;
        }

        sheet.Text($"time since the first row, {unit}", Width - Right, top - PanelGap + AxisHeight, 12, Palette.Faint, align: SKTextAlign.Right);
        var over = _panels.Exists(static panel => panel.OverS.Count > 0) ? " Marks above a panel: readings beyond the meter's range." : "";
        sheet.Text(Sheet.Fit($"As logged, without readings that are held, missing or marked as wrong.{over} fumecast {typeof(MeterLog).Assembly.GetName().Version?.ToString(3)}", Width - 48, 11), 24, sheet.Height - 14, 11, Palette.Faint);
    }

    private static void DrawKey(Sheet sheet, LogPanel panel, float baseline)
    {
        var x = Left;
        for (var i = 0; i < panel.Quantities.Count; i++)
        {
            var name = LogWordsOf.Quantity(panel.Quantities[i]);
            name = char.ToUpperInvariant(name[0]) + name[1..].Replace(" um", " µm", StringComparison.Ordinal);
            if (panel.Quantities.Count > 1)
            {
                sheet.Fill(x, x + 14, baseline - 6, baseline - 3, Palette.Zone(i));
                x += 19;
            }

            sheet.Text(name, x, baseline, 12.5f, Palette.Ink, bold: panel.Quantities.Count == 1);
            x += Sheet.Measure(name, 12.5f, bold: panel.Quantities.Count == 1) + 14;
        }

        sheet.Text(panel.Unit.Replace("ug", "µg", StringComparison.Ordinal).Replace("degC", "°C", StringComparison.Ordinal).Replace("m3", "m³", StringComparison.Ordinal), x - 6, baseline, 12.5f, Palette.Faint);
    }

    private string Summary()
    {
        var from = _log.Time.StartLocal is null ? "" : $" from {LogWordsOf.Moment(_log, _log.FromS)}{(_log.Time.Offset is null ? " (zone not stated)" : "")}";
        var every = _log.IntervalS is { } interval ? $", one every {LogWordsOf.Step(interval)}" : "";
        var gaps = _log.Gaps == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $", {_log.Gaps} {(_log.Gaps == 1 ? "gap" : "gaps")}");
        return string.Create(CultureInfo.InvariantCulture, $"{_log.Rows} rows over {Amounts.Duration(_log.ToS - _log.FromS)}{from}{every}{gaps}");
    }
}
