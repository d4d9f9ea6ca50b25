// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;
using ScottPlot;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>Lays out the picture of one job.</summary>
internal sealed class EstimatePage : IDisposable
{
    private const int Width = 1000;
    private const float Left = 124;
    private const float Right = 28;
    private const float HeaderHeight = 84;
    private const float PhaseHeight = 20;
    private const float PanelGap = 34;
    private const float FooterHeight = 66;
    private const int Stretches = 600;
    private const int MostSteps = 300;
    private const int MostDecades = 7;

    private readonly SeriesBuffer _buffer;
    private readonly SeriesPoint[] _points;
    private readonly JobEstimate _estimate;
    private readonly bool _asSteps;
    private readonly double[] _times;
    private readonly double _endS;
    private readonly List<(double Value, string Label)> _timeTicks;
    private readonly string _timeUnit;
    private readonly List<(string Title, string Unit, Color Colour, float Height, Panel Panel)> _panels = [];

    public EstimatePage(SeriesBuffer buffer, JobEstimate estimate, bool hasNumber, bool hasVapours)
    {
        PictureFont.Register();
        _buffer = buffer;
        _estimate = estimate;
        _points = buffer.Reduced(Stretches);
        _asSteps = _points.Length <= MostSteps;
        _times = _asSteps ? Steps(_points, static p => p.StartS, static p => p.EndS) : Array.ConvertAll(_points, static p => p.MiddleS);
        _endS = _points.Length == 0 ? 1 : _points[^1].EndS;
        _timeTicks = NiceTicks.Time(_endS, 10, out _timeUnit);
        AddFlow();
        AddTemperature();
        if (hasNumber)
        {
            AddRate("Particles given off", "per minute", Palette.Particles, 190, DecadeNames.Counts, static p => p.First);
        }

        if (hasVapours)
        {
            AddRate("Volatile organic compounds (TVOC) given off", "per minute", Palette.Vapours, 150, DecadeNames.Micrograms, static p => p.Second);
        }
    }

    /// <summary>Writes the page.</summary>
    public void Write(Stream output, PictureFormat format)
    {
        var height = HeaderHeight + PhaseHeight + FooterHeight;
        foreach (var panel in _panels)
        {
            height += panel.Height + PanelGap;
        }

        Sheet.Write(output, format, Width, (int)height, Draw);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        foreach (var entry in _panels)
        {
            entry.Panel.Dispose();
        }
    }

    private void Draw(Sheet sheet)
    {
        DrawHeader(sheet);
        var top = HeaderHeight + PhaseHeight;
        for (var i = 0; i < _panels.Count; i++)
        {
            var (title, unit, colour, height, panel) = _panels[i];
            panel.XAxis(0, _endS, _timeTicks, showLabels: i == _panels.Count - 1);
            panel.Draw(sheet, top, top + height);
            sheet.Text(title, Left, top - 8, 13, colour, bold: true);
            sheet.Text(unit, Left + Sheet.Measure(title, 13, bold: true) + 7, top - 8, 13, Palette.Faint);
            if (i == 0 && _buffer.FirstFlowS is not null)
            {
                DrawShadeKey(sheet, top - 8);
            }

            top += height + PanelGap;
        }

        var axis = top - PanelGap + 38;
        sheet.Text($"time since the start of the job, {_timeUnit}", Width - Right, axis, 12, Palette.Faint, align: SKTextAlign.Right);
        DrawFooter(sheet);
    }

    private void DrawHeader(Sheet sheet)
    {
        sheet.Text(Sheet.Fit(_estimate.Job.File, Width - Left - Right, 21, bold: true), Left, 38, 21, Palette.Ink, bold: true);
        sheet.Text(Sheet.Fit(Summary(), Width - Left - Right, 13.5f), Left, 60, 13.5f, Palette.Ink);
    }

    private string Summary()
    {
        var parts = new List<string>();
        foreach (var emission in _estimate.Emission)
        {
            if (emission.Agent == Agent.ParticleNumber && emission.Total.Median > 0)
            {
                parts.Add($"about {Amounts.Middle(emission.Total, "1")} particles ({(Amounts.MiddlePower(emission.Total) is { } power ? power + "; " : "")}{Amounts.Range(emission.Total, "1") ?? "exactly"}{(emission.HighCappedBy is null ? "" : ", capped")})");
            }
            else if (emission.Agent == Agent.Tvoc && emission.Total.Median > 0)
            {
                parts.Add($"{Amounts.Middle(emission.Total, "ug")} of TVOC ({Amounts.Range(emission.Total, "ug") ?? "exactly"})");
            }
        }

        var what = parts.Count == 0 ? "nothing that is known of" : string.Join(" and ", parts);
        return $"Forecast: {what} in {Amounts.Duration(_estimate.Job.Time.TotalS)}".Replace(" ug", " µg", StringComparison.Ordinal);
    }

    /// <summary>Says what the shading of the panels means.</summary>
    private static void DrawShadeKey(Sheet sheet, float baseline)
    {
        const string key = "before the first and after the last deposit";
        var left = Width - Right - Sheet.Measure(key, 12);
        sheet.Fill(left - 26, left - 8, baseline - 10, baseline + 1, Palette.Shade);
        sheet.Text(key, left, baseline, 12, Palette.Faint);
    }

    private void DrawFooter(Sheet sheet)
    {
        var interval = (100 * _estimate.Interval).ToString("0.##", CultureInfo.InvariantCulture);
        var stretch = _points.Length > 1 ? Amounts.Duration(_points[0].EndS - _points[0].StartS) : "the job";
        sheet.Text(
            $"Lines: means over {stretch}. Pale bands: range of the flow within; {interval} % interval of the emission{(_estimate.Emission.Any(static emission => emission.HighCappedBy is not null) ? "; capped: the upper end of the particles is the model's cap" : "")}.",
            Left, sheet.Height - 30, 11, Palette.Faint);
        sheet.Text(
            $"fumecast {typeof(JobEstimate).Assembly.GetName().Version?.ToString(3)}. An estimate, not an exposure assessment: ventilate, and never leave a hot printer unattended.",
            Left, sheet.Height - 14, 11, Palette.Faint);
    }

    private void AddFlow()
    {
        var highest = 0.0;
        foreach (var point in _points)
        {
            highest = Math.Max(highest, point.FlowHigh);
        }

        var ticks = NiceTicks.Linear(0, highest > 0 ? highest : 1, 4);
        var panel = NewPanel();
        panel.YAxis(0, ticks[^1].Value, ticks);
        panel.Band(_times, Curve(static p => p.FlowLow), Curve(static p => p.FlowHigh), Palette.Flow);
        panel.Line(_times, Curve(static p => p.FlowMm3PerS), Palette.Flow);
        _panels.Add(("Flow", "mm³/s", Palette.Flow, 140, panel));
    }

    private void AddTemperature()
    {
        var highest = 50.0;
        foreach (var point in _points)
        {
            highest = Math.Max(highest, point.NozzleC);
        }

        var ticks = NiceTicks.Linear(0, highest * 1.04, 3);
        var panel = NewPanel();
        panel.YAxis(0, ticks[^1].Value, ticks);

        // A temperature moves smoothly, unlike a rate: a line through the middles, whatever the number of stretches.
        panel.Line(
            Array.ConvertAll(_points, static p => p.MiddleS), Array.ConvertAll(_points, static p => p.NozzleC), Palette.Heat, 2);
        _panels.Add(("Nozzle", "°C", Palette.Heat, 100, panel));
    }

    private void AddRate(string title, string unit, Color colour, float height, DecadeNames names, Func<SeriesPoint, Uncertain> rate)
    {
        var highest = 0.0;
        var lowest = double.PositiveInfinity;
        foreach (var point in _points)
        {
            var value = rate(point);
            highest = Math.Max(highest, value.High);
            lowest = value.Low > 0 ? Math.Min(lowest, value.Low) : lowest;
        }

        var panel = NewPanel();
        var top = highest > 0 ? (int)Math.Ceiling(Math.Log10(highest)) : 1;
        var bottom = highest > 0 ? Math.Max((int)Math.Floor(Math.Log10(lowest)), top - MostDecades) : 0;
        bottom = Math.Min(bottom, top - 1);
        panel.YAxis(bottom, top, NiceTicks.Decades(bottom, top, (int)(height / 26), names));

        // What is off the scale, nothing included, lies on the axis.
        double[] Logs(Func<Uncertain, double> end) => Curve(p => Math.Max(bottom, Math.Log10(Math.Max(end(rate(p)), 1e-300))));
        panel.Band(_times, Logs(static v => v.Low), Logs(static v => v.High), colour);
        panel.Line(_times, Logs(static v => v.Median), colour, 1.6f);
        _panels.Add((title, unit, colour, height, panel));
    }

    /// <summary>A quantity along <see cref="_times"/>: few stretches as the steps that they are, many by their middles.</summary>
    private double[] Curve(Func<SeriesPoint, double> quantity) =>
        _asSteps ? Steps(_points, quantity, quantity) : Array.ConvertAll(_points, p => quantity(p));

    private static double[] Steps(SeriesPoint[] points, Func<SeriesPoint, double> start, Func<SeriesPoint, double> end)
    {
        var steps = new double[2 * points.Length];
        for (var i = 0; i < points.Length; i++)
        {
            steps[2 * i] = start(points[i]);
            steps[(2 * i) + 1] = end(points[i]);
        }

        return steps;
    }

    private Panel NewPanel()
    {
        var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        if (_buffer.FirstFlowS is { } first)
        {
            if (first > 0)
            {
                panel.Shade(0, first);
            }

            if (_buffer.LastFlowS < _endS)
            {
                panel.Shade(_buffer.LastFlowS, _endS);
            }
        }

        return panel;
    }
}
