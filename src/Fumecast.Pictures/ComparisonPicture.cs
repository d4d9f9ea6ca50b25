// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Uncertainty;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>A variant of a comparison.</summary>
/// <param name="Name">Name to show.</param>
/// <param name="Values">One value for each column of the picture, in its unit; null where there is none.</param>
public sealed record ComparisonRow(string Name, IReadOnlyList<Uncertain?> Values);

/// <summary>A column of a comparison.</summary>
/// <param name="Title">What is compared, such as <c>Particles</c>.</param>
/// <param name="Unit"><c>1</c> for counts, <c>ug</c> for masses, or empty for ratios.</param>
/// <param name="IsVapours">Whether it is of vapours and not of particles; each has the colour it has in the picture of an estimate.</param>
public sealed record ComparisonColumn(string Title, string Unit, bool IsVapours = false);

/// <summary>Variants side by side: a dot with its interval for each, on a logarithmic axis; the first row is the base.</summary>
public static class ComparisonPicture
{
    private const int Width = 1000;
    private const float Right = 44;
    private const float Header = 104;
    internal const float RowHeight = 30;
    private const float Footer = 92;
    internal const float ColumnGap = 76;
    private const int MostRows = 60;

    /// <summary>Free space beside the lowest and the highest ratio, as a power of ten [-].</summary>
    private const double RatioMargin = 0.06;

    /// <summary>Draws the picture.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">SVG or PNG.</param>
    /// <param name="title">Title of the picture.</param>
    /// <param name="columns">What is compared, one to four.</param>
    /// <param name="rows">The variants, the base first; of more than 60 the first are drawn, and it is said.</param>
    /// <param name="interval">Coverage of the intervals [-].</param>
    /// <param name="note">A sentence on how sure the ratios are.</param>
    public static void Write(
        Stream output, PictureFormat format, string title, IReadOnlyList<ComparisonColumn> columns, IReadOnlyList<ComparisonRow> rows, double interval, string note)
    {
        ArgumentOutOfRangeException.ThrowIfZero(columns.Count);
        var shown = Math.Min(rows.Count, MostRows);
        var height = (int)(Header + (shown * RowHeight) + Footer);
        Sheet.Write(output, format, Width, height, sheet => Draw(sheet, title, columns, rows, shown, interval, note));
    }

    private static void Draw(
        Sheet sheet, string title, IReadOnlyList<ComparisonColumn> columns, IReadOnlyList<ComparisonRow> rows, int shown, double interval, string note)
    {
        var left = 120f;
        for (var i = 0; i < shown; i++)
        {
            left = Math.Max(left, Math.Min(300, Sheet.Measure(rows[i].Name, 13, bold: i == 0) + 48));
        }

        // Whole pixels, or the edges of the panels would show as pale lines.
        left = MathF.Ceiling(left);
        var columnWidth = MathF.Floor((Width - left - Right - ((columns.Count - 1) * ColumnGap)) / columns.Count);
        for (var i = 0; i < columns.Count; i++)
        {
            DrawColumn(sheet, columns[i], i, rows, shown, left + (i * (columnWidth + ColumnGap)), columnWidth, Header);
        }

        sheet.Text(Sheet.Fit(title, Width - 48 - Right, 21, bold: true), 24, 38, 21, Palette.Ink, bold: true);
        for (var i = 0; i < shown; i++)
        {
            var name = Sheet.Fit(rows[i].Name, left - 48, 13, bold: i == 0);
            sheet.Text(name, left - 16, Header + ((i + 0.5f) * RowHeight) + 4.5f, 13, Palette.Ink, bold: i == 0, align: SKTextAlign.Right);
        }

        var more = rows.Count > shown ? string.Create(CultureInfo.InvariantCulture, $" The first {shown} of {rows.Count} are drawn.") : "";
        sheet.Text(
            string.Create(CultureInfo.InvariantCulture, $"Dots: middle estimates. Bars: {100 * interval:0.##} % intervals. Dashed: the first row, which is the base.{more}"),
            24, sheet.Height - 30, 11, Palette.Faint);
        sheet.Text(
            Sheet.Fit($"{note} An estimate, not an exposure assessment.", Width - 24 - Right, 11, bold: false),
            24, sheet.Height - 14, 11, Palette.Faint);
    }

    /// <summary>Draws a column of dots with their intervals.</summary>
    /// <param name="sheet">The page.</param>
    /// <param name="column">What is compared.</param>
    /// <param name="at">Which of the values of each row it is.</param>
    /// <param name="rows">The rows, the base first.</param>
    /// <param name="shown">How many of them are drawn.</param>
    /// <param name="left">Left edge of the axis [px].</param>
    /// <param name="width">Length of the axis [px].</param>
    /// <param name="top">Top of the first row [px].</param>
    internal static void DrawColumn(
        Sheet sheet, ComparisonColumn column, int at, IReadOnlyList<ComparisonRow> rows, int shown, float left, float width, float top)
    {
        var colour = column.IsVapours ? Palette.Vapours : Palette.Particles;
        var low = double.PositiveInfinity;
        var high = 0.0;
        for (var i = 0; i < shown; i++)
        {
            if (rows[i].Values[at] is { Low: > 0 } value)
            {
                low = Math.Min(low, value.Low);
                high = Math.Max(high, value.High);
            }
        }

        using var panel = new Panel(left, left + width, ColumnGap / 2, ColumnGap / 2);
        if (column.Unit.Length == 0 && high > 0)
        {
            var (from, to) = (Math.Log10(low) - RatioMargin, Math.Log10(high) + RatioMargin);
            panel.XAxis(from, to, NiceTicks.Ratios(from, to, (int)(width / 48)), showLabels: true);
        }
        else
        {
            var from = high > 0 ? (int)Math.Floor(Math.Log10(low)) : 0;
            var to = high > 0 ? Math.Max(from + 1, (int)Math.Ceiling(Math.Log10(high))) : 1;
            panel.XAxis(from, to, NiceTicks.Decades(from, to, (int)(width / 76), Names(column.Unit)), showLabels: true);
        }

        panel.YAxis(-shown, 0, []);
        if (shown > 0 && rows[0].Values[at] is { Low: > 0 } reference)
        {
            panel.Reference(Math.Log10(reference.Median));
        }

        for (var i = 0; i < shown; i++)
        {
            if (rows[i].Values[at] is { Low: > 0 } value)
            {
                var y = -(i + 0.5);
                panel.Line([Math.Log10(value.Low), Math.Log10(value.High)], [y, y], colour.WithAlpha(0.45), 5);
                panel.Dot(Math.Log10(value.Median), y, colour, 11);
            }
        }

        panel.Draw(sheet, top, top + (shown * RowHeight));
        sheet.Text(column.Title, left, top - 14, 13.5f, colour, bold: true);
    }

    private static DecadeNames Names(string unit) => unit switch
    {
        "1" => DecadeNames.Counts,
        "ug" => DecadeNames.Micrograms,
        _ => DecadeNames.Digits,
    };
}
