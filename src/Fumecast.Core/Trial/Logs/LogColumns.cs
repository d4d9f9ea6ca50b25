// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Names of columns, and which of them the user meant.</summary>
internal static class LogColumns
{
    private const int MostNamed = 40;

    /// <summary>How a column is called: its header, or its number.</summary>
    public static string NameOf(string[] headers, int column) =>
        column < headers.Length && headers[column].Length > 0 ? Short(headers[column]) : string.Create(CultureInfo.InvariantCulture, $"column {column + 1}");

    /// <summary>The columns found, for messages.</summary>
    public static string Found(string[] headers)
    {
        var names = Enumerable.Range(0, Math.Min(MostNamed, headers.Length)).Select(i => NameOf(headers, i)).ToList();
        var more = headers.Length > MostNamed ? string.Create(CultureInfo.InvariantCulture, $" and {headers.Length - MostNamed} more") : "";
        return $"the columns are {string.Join(", ", names)}{more}";
    }

    /// <summary>The column that the user means.</summary>
    /// <param name="file">The log, for messages.</param>
    /// <param name="layout">The table.</param>
    /// <param name="name">For what it is named.</param>
    /// <param name="header">The header, or the number of the column; perhaps with a unit in square brackets behind it.</param>
    /// <returns>The columns, two for a date and a time joined by a plus sign; and the unit.</returns>
    /// <exception cref="InputProblem">There is none such; the message lists those that there are.</exception>
    public static (List<int> Columns, string? Unit) Find(string file, LogLayout layout, string name, string header)
    {
        string? unit = null;
        var at = IndexOf(layout.Headers, header);
        if (at < 0 && header.EndsWith(']') && header.LastIndexOf('[') is > 0 and var open)
        {
            unit = header[(open + 1)..^1].Trim();
            at = IndexOf(layout.Headers, header[..open].Trim());
        }

        if (at >= 0)
        {
            return ([at], unit);
        }

        if (name == "time" && header.Split('+') is [var date, var clock] && (IndexOf(layout.Headers, date.Trim()), IndexOf(layout.Headers, clock.Trim())) is ( >= 0, >= 0) pair)
        {
            return ([pair.Item1, pair.Item2], null);
        }

        var near = Nearest.To(header, layout.Headers) is { Length: > 0 } hint ? $"; did you mean '{hint}'?" : "";
        throw new InputProblem(file, Math.Max(1, layout.HeaderLine), 1, $"--columns names '{header}' for {name}, but there is no such column{near} ({Found(layout.Headers)})");
    }

    private static int IndexOf(string[] headers, string header)
    {
        var at = Array.IndexOf(headers, header);
        at = at < 0 ? Array.FindIndex(headers, one => HeaderText.Plain(one) == HeaderText.Plain(header)) : at;
        if (at < 0)
        {
            var number = header.StartsWith("column ", StringComparison.OrdinalIgnoreCase) ? header[7..] : header;
            at = int.TryParse(number, NumberStyles.None, CultureInfo.InvariantCulture, out var column) && column >= 1 && column <= headers.Length ? column - 1 : -1;
        }

        return at;
    }

    private static string Short(string header) => header.Length <= 60 ? header : header[..57] + "...";
}
