// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Adds up the filament of a job in the most obvious way: an independent count to hold the interpreter against.</summary>
/// <remarks>
/// Reads word lines with a regular expression; knows E (or another letter), M82, M83, G90, G91, G92, M221, G28, T and M135, and nothing else.
/// No motion, no dialect but "the last of G90, G91, M82, M83 decides".
/// </remarks>
internal sealed partial class ObviousFilament
{
    private readonly Dictionary<int, (double Fed, double High)> _books = [];

    /// <summary>Highest net feed of each tool [in the file's unit of E, flow factor included].</summary>
    public IReadOnlyDictionary<int, double> HighWater => _books.Where(book => book.Value.High > 0).ToDictionary(book => book.Key, book => book.Value.High);

    public double HighWaterOfAll => _books.Values.Sum(book => book.High);

    public int ExtrudingMoves { get; private set; }

    public List<double> NozzleSetPointsC { get; } = [];

    public static ObviousFilament Of(string text, bool isRelative = false, char axis = 'E')
    {
        var sum = new ObviousFilament();
        var relativeE = isRelative;
        var relative = false;
        var factor = 1.0;
        var tool = 0;
        var logical = 0.0;
        double[] place = [0, 0, 0];
        foreach (var line in text.Split('\n', '\r'))
        {
            var code = line.Split(';')[0];
            code = code.Contains("M117", StringComparison.OrdinalIgnoreCase) ? "" : Brackets().Replace(code, "").Split('*')[0];
            var words = Words().Matches(code).ToDictionary(
                word => char.ToUpperInvariant(word.Value[0]), word => double.Parse(word.Groups[1].Value, CultureInfo.InvariantCulture));
            words.Remove('N');
            if (words.TryGetValue('M', out var m))
            {
                (relativeE, factor, tool) = m switch
                {
                    82 => (false, factor, tool),
                    83 => (true, factor, tool),
                    221 => (relativeE, words['S'] / 100, tool),
                    135 => (relativeE, factor, (int)words['T']),
                    _ => (relativeE, factor, tool),
                };
                if (m is 104 or 109 && (words.TryGetValue('S', out var c) || words.TryGetValue('R', out c)))
                {
                    sum.NozzleSetPointsC.Add(c);
                }
            }
            else if (words.TryGetValue('G', out var g))
            {
                switch (g)
                {
                    case 90 or 91:
                        relative = relativeE = g == 91;
                        break;
                    case 92:
                        logical = words.GetValueOrDefault(axis, logical);
                        break;
                    case >= 0 and <= 3:
                        var moves = g >= 2;
                        for (var i = 0; i < 3; i++)
                        {
                            if (words.TryGetValue("XYZ"[i], out var to))
                            {
                                var next = relative ? place[i] + to : to;
                                moves |= next != place[i];
                                place[i] = next;
                            }
                        }

                        if (words.TryGetValue(axis, out var e))
                        {
                            var change = relativeE ? e : e - logical;
                            logical = relativeE ? logical + e : e;
                            sum.Feed(tool, change * factor);
                            sum.ExtrudingMoves += change > 0 && moves ? 1 : 0;
                        }

                        break;
                }
            }
            else if (words.TryGetValue('T', out var t))
            {
                tool = (int)t;
            }
        }

        return sum;
    }

    private void Feed(int tool, double change)
    {
        var (fed, high) = _books.GetValueOrDefault(tool);
        _books[tool] = (fed + change, Math.Max(high, fed + change));
    }

    [GeneratedRegex(@"[A-Za-z]\s*([-+]?(?:\d+\.?\d*|\.\d+))")]
    private static partial Regex Words();

    [GeneratedRegex(@"\(.*\)")]
    private static partial Regex Brackets();
}
