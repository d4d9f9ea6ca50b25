// SPDX-License-Identifier: MIT
using Fumecast.Report;
using Fumecast.Trial;
using Fumecast.Uncertainty;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>Lays out the picture of a trial.</summary>
internal sealed class TrialPage : IDisposable
{
    private const int Width = 1000;
    private const float Left = 76, Right = 28, Top = 100;
    private const float PanelHeight = 140, PanelGap = 66;
    private const float RatioRow = 26, RatioHead = 40, AxisHeight = 34, FooterHeight = 36;
    private const int MostPanels = 10, MostRatios = 12;
    private const double HourS = 3600;

    private readonly TrialOutcome _outcome;
    private readonly List<(Panel Panel, string Title, string Unit)> _panels = [];
    private readonly List<PairOutcome> _ratios;

    public TrialPage(TrialOutcome outcome)
    {
        PictureFont.Register();
        _outcome = outcome;
        foreach (var run in outcome.Runs)
        {
            foreach (var quantity in run.Quantities.Where(static one => one.Curve is { TimesS.Length: > 1 }))
            {
                if (_panels.Count < MostPanels)
                {
                    Add(run, quantity, quantity.Curve!);
                }
            }
        }

        _ratios = [.. outcome.Pairs.Where(static pair => pair.RatioWithDays is { High: > 0 }).Take(MostRatios)];
    }

    private float RatioTop => Top + 14 + _panels.Count * (PanelHeight + PanelGap);

    /// <summary>Writes the page.</summary>
    public void Write(Stream output, PictureFormat format)
    {
        var ratios = _ratios.Count == 0 ? 0 : RatioHead + _ratios.Count * RatioRow + AxisHeight;
        Sheet.Write(output, format, Width, (int)MathF.Ceiling(RatioTop + ratios + FooterHeight), Draw);
    }

    /// <inheritdoc/>
    public void Dispose() => _panels.ForEach(static panel => panel.Panel.Dispose());

    private void Add(RunOutcome run, QuantityOutcome quantity, LogCurve curve)
    {
        var fromS = curve.TimesS[0];
        double[] hours = [.. curve.TimesS.Select(time => (time - fromS) / HourS)];
        var high = Math.Max(curve.Readings.Max(), curve.Model.Where(static one => !double.IsNaN(one)).DefaultIfEmpty(0).Max());
        var ticks = NiceTicks.Linear(Math.Min(0, curve.Readings.Min()), high > 0 ? high : 1, 4);
        var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        panel.YAxis(ticks[0].Value, ticks[^1].Value, ticks);
        panel.XAxis(0, hours[^1], NiceTicks.Linear(0, hours[^1], 8).FindAll(tick => tick.Value <= hours[^1]), showLabels: true);
        if (run.Start is { } start && quantity.Fit is { } fit)
        {
            var from = (start.AtS - fromS) / HourS + fit.DelayH;
            panel.Shade(Math.Max(0, from), Math.Min(hours[^1], from + run.PrintH!.Value));
        }

        foreach (var happened in quantity.Events.Where(one => one.FromS >= fromS && one.FromS <= curve.TimesS[^1]))
        {
            panel.Reference((happened.FromS - fromS) / HourS);
        }

        panel.Line(hours, curve.Readings, Palette.Flow, 1.1f);
        if (curve.Background.Length > 0)
        {
            panel.Line(hours, curve.Background, Palette.Faint, 1.2f, dashed: true);
        }

        var fitted = Enumerable.Range(0, curve.Model.Length).Where(i => !double.IsNaN(curve.Model[i])).ToArray();
        if (fitted.Length > 1)
        {
            panel.Line([.. fitted.Select(i => hours[i])], [.. fitted.Select(i => curve.Model[i])], Palette.Heat, 2);
        }

        var at = run.Log.Time.StartLocal is null ? "" : $", from {run.Log.Time.Show(Math.Round(fromS / 60) * 60).Replace('T', ' ')}";
        _panels.Add((panel, $"{run.Name}: {TrialWords.Quantity(quantity.Quantity)}{at}", LogWordsOf.Unit(quantity.Unit)));
    }

    private void Draw(Sheet sheet)
    {
        var lead = _outcome.Pairs.Count > 0 ? TrialWords.Verdict(_outcome.Pairs[0], _outcome.Interval) : "What the logs show";
        // The verdict has a name and figures; the figures get a line of their own.
        var colon = lead.IndexOf(": ", StringComparison.Ordinal);
        sheet.Text(Sheet.Fit(colon < 0 ? lead : lead[..colon], Width - 48, 17, bold: true), 24, 30, 17, Palette.Ink, bold: true);
        sheet.Text(Sheet.Fit(colon < 0 ? "" : lead[(colon + 2)..], Width - 48, 13.5f), 24, 51, 13.5f, Palette.Ink);
        sheet.Text("Line: as logged. Bold line: the fit. Dashed: without the print. Shaded: filament flows. Upright line: something that the print does not explain.", 24, 72, 12, Palette.Faint);
        var top = Top + 14;
        foreach (var (panel, title, unit) in _panels)
        {
            panel.Draw(sheet, top, top + PanelHeight);
            sheet.Text(Sheet.Fit(title, 700, 12.5f, bold: true), Left, top - 10, 12.5f, Palette.Ink, bold: true);
            sheet.Text(unit.Replace("ug", "µg", StringComparison.Ordinal).Replace("m3", "m³", StringComparison.Ordinal), Width - Right, top - 10, 12.5f, Palette.Faint, align: SKTextAlign.Right);
            sheet.Text("hours", Width - Right, top + PanelHeight + 34, 12, Palette.Faint, align: SKTextAlign.Right);
            top += PanelHeight + PanelGap;
        }

        Ratios(sheet);
        sheet.Text($"Intervals {100 * _outcome.Interval:0} %. A cheap meter does not show all that is in the air; no result is an all-clear. fumecast {typeof(TrialOutcome).Assembly.GetName().Version?.ToString(3)}", 24, sheet.Height - 14, 11, Palette.Faint);
    }

    private void Ratios(Sheet sheet)
    {
        if (_ratios.Count == 0)
        {
            return;
        }

        const float names = 330;
        var (low, high) = (_ratios.Min(static pair => Math.Max(0.02, pair.RatioWithDays!.Value.Low)), Math.Max(1.2, _ratios.Max(static pair => pair.RatioWithDays!.Value.High)));
        (low, high) = (Math.Max(low * 0.8, 0.01), Math.Min(high * 1.2, 100));
        float X(double ratio) => names + (float)(Math.Log(Math.Clamp(ratio, low, high) / low) / Math.Log(high / low)) * (Width - Right - names);
        var top = RatioTop;
        sheet.Text("What the print adds with the filter, over what it adds without", 24, top + 8, 12.5f, Palette.Ink, bold: true);
        var bottom = top + RatioHead + _ratios.Count * RatioRow;
        foreach (var tick in new[] { 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10 }.Where(tick => tick >= low && tick <= high))
        {
            var x = X(tick);
            sheet.Fill(x - (tick == 1 ? 0.8f : 0.4f), x + (tick == 1 ? 0.8f : 0.4f), top + RatioHead - 14, bottom, tick == 1 ? Palette.Faint : Palette.Rule);
            sheet.Text(tick.ToString(System.Globalization.CultureInfo.InvariantCulture), x, bottom + 16, 12, Palette.Faint, align: SKTextAlign.Center);
        }

        for (var i = 0; i < _ratios.Count; i++)
        {
            var (pair, y) = (_ratios[i], top + RatioHead + i * RatioRow);
            sheet.Text(Sheet.Fit($"{pair.Filter ?? pair.Run}: {TrialWords.Quantity(pair.Quantity)}", names - 40, 12.5f), 24, y + 4, 12.5f, Palette.Ink);
            Bar(pair.RatioWithDays!.Value, 1.5f, y);
            if (pair.Ratio is { Low: > 0 } own && pair.Runs == 2)
            {
                Bar(own, 4, y);
            }
        }

        void Bar(Uncertain ratio, float half, float y)
        {
            sheet.Fill(X(ratio.Low), X(ratio.High), y - half, y + half, Palette.Flow);
            sheet.Fill(X(ratio.Median) - 4, X(ratio.Median) + 4, y - 4, y + 4, Palette.Heat);
        }
    }
}
