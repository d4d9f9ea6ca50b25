// SPDX-License-Identifier: MIT
namespace Fumecast.Report;

/// <summary>A value over a stretch of time.</summary>
/// <param name="StartS">Its start [s].</param>
/// <param name="EndS">Its end [s], after the start.</param>
/// <param name="Value">Its mean, 0 or more.</param>
internal readonly record struct Stretch(double StartS, double EndS, double Value);

/// <summary>Curves against time in block characters, one below the other over one axis: their shape and no more, from 0 to the highest column of each.</summary>
/// <param name="page">Where they are written; its width is filled.</param>
/// <param name="endS">End of the time axis [s], over 0; it begins at 0.</param>
/// <param name="labelWidth">Columns for the labels at the left [-].</param>
internal sealed class BlockCurve(TextPage page, double endS, int labelWidth)
{
    private const string Eighths = " ▁▂▃▄▅▆▇█";
    private const int Fewest = 10;
    private const int TickWidth = 12;
    private static readonly double[] TickStepsS =
        [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 10800, 21600, 43200, 86400, 172800, 432000, 864000, 2592000];

    private readonly int _columns = Math.Max(Fewest, page.Width - labelWidth);

    /// <summary>Writes a curve.</summary>
    /// <param name="labels">A label for each of its lines, the top first: as many lines as labels. A long one is cut.</param>
    /// <param name="stretches">What is drawn, in the order of time; nothing between them counts as 0.</param>
    public void Write(ReadOnlySpan<string> labels, IReadOnlyList<Stretch> stretches)
    {
        var lines = Lines(Columns(stretches, endS, _columns), labels.Length);
        for (var i = 0; i < lines.Length; i++)
        {
            page.Row([labelWidth], ColumnWidth.Cut(TextPage.Clean(labels[i]), labelWidth - 1), lines[i]);
        }
    }

    /// <summary>The value that a full column stands for; 0 where all is 0.</summary>
    /// <param name="stretches">What is drawn.</param>
    public double HighestOf(IReadOnlyList<Stretch> stretches) => Columns(stretches, endS, _columns).Max();

    /// <summary>Writes the time axis.</summary>
    public void WriteAxis() => page.Row([labelWidth], "", Axis(endS, _columns));

    /// <summary>Means of stretches over columns of equal time.</summary>
    /// <param name="stretches">The stretches, in the order of time.</param>
    /// <param name="endS">End of the last column [s], over 0.</param>
    /// <param name="columns">Number of columns [-], 1 or more.</param>
    public static double[] Columns(IReadOnlyList<Stretch> stretches, double endS, int columns)
    {
        var means = new double[columns];
        var columnS = endS / columns;
        foreach (var (startS, stretchEndS, value) in stretches)
        {
            if (!(value > 0) || !double.IsFinite(value))
            {
                continue;
            }

            var last = Math.Min(columns - 1, (int)Math.Min(columns, stretchEndS / columnS));
            for (var i = (int)Math.Clamp(startS / columnS, 0, columns); i <= last; i++)
            {
                var sharedS = Math.Min(stretchEndS, (i + 1) * columnS) - Math.Max(startS, i * columnS);
                means[i] += Math.Max(0, sharedS) / columnS * value;
            }
        }

        return means;
    }

    /// <summary>The lines of a curve, the top first. The highest column is full; whatever is over 0 shows at least an eighth of a line.</summary>
    /// <param name="values">The height of each column, 0 or more.</param>
    /// <param name="rows">Number of lines [-], 1 or more.</param>
    public static string[] Lines(ReadOnlySpan<double> values, int rows)
    {
        var highest = 0.0;
        foreach (var value in values)
        {
            highest = Math.Max(highest, value);
        }

        var letters = new char[rows][];
        for (var row = 0; row < rows; row++)
        {
            letters[row] = new char[values.Length];
            for (var i = 0; i < values.Length; i++)
            {
                var eighths = values[i] > 0 ? Math.Max(1, (int)Math.Round(8 * rows * (values[i] / highest))) : 0;
                letters[row][i] = Eighths[Math.Clamp(eighths - (8 * (rows - 1 - row)), 0, 8)];
            }
        }

        return Array.ConvertAll(letters, static line => new string(line));
    }

    /// <summary>Round times below the columns in which they lie, each behind a mark.</summary>
    /// <param name="endS">End of the axis [s], over 0.</param>
    /// <param name="columns">Its columns [-].</param>
    public static string Axis(double endS, int columns)
    {
        var most = Math.Max(1, columns / TickWidth);
        var stepS = TickStepsS[^1] * Math.Ceiling(endS / (most * TickStepsS[^1]));
        foreach (var candidateS in TickStepsS)
        {
            if (endS <= most * candidateS)
            {
                stepS = candidateS;
                break;
            }
        }

        var axis = new char[columns];
        Array.Fill(axis, ' ');
        for (var i = 0; i * stepS <= endS; i++)
        {
            // A time that finds no room before the end is left out.
            var label = "'" + (i == 0 ? "0" : Amounts.Duration(i * stepS));
            var at = (int)Math.Round(i * stepS / endS * columns);
            if (at + label.Length <= columns)
            {
                label.CopyTo(0, axis, at, label.Length);
            }
        }

        return new string(axis);
    }
}
