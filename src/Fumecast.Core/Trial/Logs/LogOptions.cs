// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Which of the first two parts of a date is the day.</summary>
public enum DateOrder
{
    /// <summary>27/11/2026.</summary>
    DayFirst,

    /// <summary>11/27/2026.</summary>
    MonthFirst,
}

/// <summary>What a reader of logs is told where the log does not say it.</summary>
public sealed record LogOptions
{
    /// <summary>What columns hold, by quantity, such as <c>time</c> or <c>pm25</c>: the header, or the number of the column; a unit may stand behind in square brackets.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Columns { get; init; } = [];

    /// <summary>Order of day and month; null to decide it from the log.</summary>
    public DateOrder? DateOrder { get; init; }

    /// <summary>The zone of the clock where the log does not state one: an offset such as <c>+01:00</c>, <c>UTC</c>, or a name of the system's such as <c>Europe/Paris</c>. Null for none.</summary>
    public string? Zone { get; init; }

    /// <summary>Whether a warning that changes results is an error.</summary>
    public bool Strict { get; init; }

    /// <summary>What <c>-</c> stands for; null where there is no standard input.</summary>
    public Stream? Stdin { get; init; }

    /// <summary>The names that a column may be given: <c>time</c> and the quantities.</summary>
    public static IReadOnlyList<string> ColumnNames { get; } =
        ["time", "pm1", "pm25", "pm4", "pm10", "number", "tvoc", "tvoc_index", "formaldehyde", "co2", "temperature", "humidity"];

    /// <summary>Reads a list such as <c>time=Zeit,pm25=PM2,5 (µg/m³)</c>. Headers may have commas: only one before <c>name=</c> ends an entry.</summary>
    /// <param name="text">The list.</param>
    /// <exception cref="InputProblem">It is no such list; the message says what is wrong.</exception>
    public static IReadOnlyList<KeyValuePair<string, string>> ParseColumns(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var entries = new List<KeyValuePair<string, string>>();
        var starts = new List<(int At, int Sign)>();
        for (var at = 0; at >= 0 && at < text.Length;)
        {
            var equals = text.IndexOf('=', at);
            if (equals > at && IsName(text[at..equals].Trim()))
            {
                starts.Add((at, equals));
            }

            var comma = text.IndexOf(',', at);
            at = comma < 0 ? -1 : comma + 1;
        }

        if (starts.Count == 0 || starts[0].At != 0)
        {
            var found = text.Split('=')[0].Trim();
            throw new InputProblem($"--columns: found '{text}', expected entries such as time=Zeit,pm25=PM2.5{(text.Contains('=', StringComparison.Ordinal) ? Nearest.Hint(found, [.. ColumnNames]) : "")}") { IsOfOptions = true };
        }

        for (var i = 0; i < starts.Count; i++)
        {
            var end = i + 1 < starts.Count ? starts[i + 1].At - 1 : text.Length;
            var header = text[(starts[i].Sign + 1)..end].Trim();
            var name = text[starts[i].At..starts[i].Sign].Trim();
            if (header.Length == 0)
            {
                throw new InputProblem($"--columns: found nothing behind {name}=, expected the header of a column or its number") { IsOfOptions = true };
            }

            entries.Add(new(name, header));
        }

        return entries;
    }

    /// <summary>A name of a quantity, perhaps with a number behind it.</summary>
    internal static bool IsName(string name)
    {
        var hash = name.IndexOf('#', StringComparison.Ordinal);
        return ColumnNames.Contains(hash < 0 ? name : name[..hash]);
    }
}
