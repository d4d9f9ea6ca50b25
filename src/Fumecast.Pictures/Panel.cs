// SPDX-License-Identifier: MIT
using ScottPlot;
using ScottPlot.TickGenerators;

namespace Fumecast.Pictures;

/// <summary>One diagram of a page: a bare plot with light rules, our ticks, no frame.</summary>
internal sealed class Panel : IDisposable
{
    private const float TickSize = 12;
    private readonly Plot _plot = new();
    private readonly float _left;
    private readonly float _right;
    private readonly float _marginLeft;
    private readonly float _marginRight;
    private bool _hasTwoLines;

    /// <summary>Makes an empty diagram.</summary>
    /// <param name="left">Left edge of the data [px].</param>
    /// <param name="right">Right edge of the data [px].</param>
    /// <param name="marginLeft">Space for labels at the left [px].</param>
    /// <param name="marginRight">Space for labels at the right [px].</param>
    public Panel(float left, float right, float marginLeft, float marginRight)
    {
        _left = left;
        _right = right;
        _marginLeft = marginLeft;
        _marginRight = marginRight;
        _plot.Font.Set(PictureFont.Family);
        _plot.FigureBackground.Color = Palette.Paper;
        _plot.DataBackground.Color = Palette.Paper;
        _plot.Axes.Top.IsVisible = false;
        _plot.Axes.Right.IsVisible = false;
        _plot.Axes.Left.FrameLineStyle.IsVisible = false;
        _plot.Axes.Bottom.FrameLineStyle.Color = Palette.Faint;
        _plot.Axes.Bottom.FrameLineStyle.Width = 1;
        _plot.Axes.Left.MajorTickStyle.Length = 0;
        _plot.Axes.Bottom.MajorTickStyle.Length = 4;
        _plot.Axes.Bottom.MajorTickStyle.Color = Palette.Faint;
        _plot.Axes.Bottom.TickLabelStyle.FontSize = TickSize;
        _plot.Axes.Left.TickLabelStyle.FontSize = TickSize;
        _plot.Axes.Bottom.TickLabelStyle.ForeColor = Palette.Faint;
        _plot.Axes.Left.TickLabelStyle.ForeColor = Palette.Faint;
        _plot.Grid.MajorLineColor = Palette.Rule;
        _plot.Grid.MajorLineWidth = 1;
    }

    /// <inheritdoc/>
    public void Dispose() => _plot.Dispose();

    /// <summary>Sets the horizontal axis; labels may have two lines.</summary>
    public void XAxis(double low, double high, List<(double Value, string Label)> ticks, bool showLabels)
    {
        _hasTwoLines = ticks.Exists(static tick => tick.Label.Contains('\n', StringComparison.Ordinal));
        _plot.Axes.SetLimitsX(low, high);
        _plot.Axes.Bottom.TickGenerator = Ticks(ticks, showLabels);
    }

    /// <summary>Sets the vertical axis; labels of two lines are written in one.</summary>
    public void YAxis(double low, double high, List<(double Value, string Label)> ticks)
    {
        _plot.Axes.SetLimitsY(low, high);
        _plot.Axes.Left.TickGenerator = Ticks(ticks.ConvertAll(static tick => (tick.Value, tick.Label.Replace("\n", ", ", StringComparison.Ordinal))), showLabels: true);
    }

    /// <summary>Leaves out the vertical rules.</summary>
    public void NoVerticalRules() => _plot.Grid.XAxisStyle.IsVisible = false;

    /// <summary>Shades a stretch of the horizontal axis.</summary>
    public void Shade(double from, double to)
    {
        var span = _plot.Add.HorizontalSpan(from, to, Palette.Shade);
        span.LineWidth = 0;
    }

    /// <summary>Fills between two curves.</summary>
    public void Band(double[] xs, double[] low, double[] high, Color colour, double opacity = 0.2)
    {
        var outline = new Coordinates[2 * xs.Length];
        for (var i = 0; i < xs.Length; i++)
        {
            outline[i] = new Coordinates(xs[i], high[i]);
            outline[^(i + 1)] = new Coordinates(xs[i], low[i]);
        }

        var band = _plot.Add.Polygon(outline);
        band.FillStyle.Color = colour.WithAlpha(opacity);
        band.LineWidth = 0;
        band.MarkerStyle.IsVisible = false;
    }

    /// <summary>Draws a curve.</summary>
    public void Line(double[] xs, double[] ys, Color colour, float width = 1.4f, bool dashed = false)
    {
        var line = _plot.Add.ScatterLine(xs, ys, colour);
        line.LineWidth = width;
        line.LinePattern = dashed ? LinePattern.Dashed : LinePattern.Solid;
    }

    /// <summary>Draws a dashed upright line.</summary>
    public void Reference(double x)
    {
        var line = _plot.Add.VerticalLine(x, 1, Palette.Faint, LinePattern.Dashed);
        line.IsDraggable = false;
    }

    /// <summary>Draws a dot.</summary>
    public void Dot(double x, double y, Color colour, float size = 9)
    {
        var dot = _plot.Add.Marker(x, y, MarkerShape.FilledCircle, size, colour);
        dot.MarkerStyle.LineWidth = 0;
    }

    /// <summary>Draws it.</summary>
    /// <param name="sheet">The page.</param>
    /// <param name="top">Top of the data [px].</param>
    /// <param name="bottom">Bottom of the data [px].</param>
    public void Draw(Sheet sheet, float top, float bottom)
    {
        const float above = 8;
        var below = _hasTwoLines ? 38f : 22f;
        _plot.Layout.Fixed(new PixelPadding(_marginLeft, _marginRight, below, above));
        sheet.Draw(_plot, _left - _marginLeft, _right + _marginRight, top - above, bottom + below);
    }

    private static NumericManual Ticks(List<(double Value, string Label)> ticks, bool showLabels)
    {
        var manual = new NumericManual();
        foreach (var (value, label) in ticks)
        {
            manual.AddMajor(value, showLabels ? label : "");
        }

        return manual;
    }
}
