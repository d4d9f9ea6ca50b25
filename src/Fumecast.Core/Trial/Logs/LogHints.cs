// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What the headers and the lines above them say about zone, order of dates and units.</summary>
internal static class LogHints
{
    private static readonly char[] Breaks = [' ', '(', ')', '[', ']', ',', ';', '=', '"', '\t'];

    /// <summary>The zone that the lines above the header state, in minutes, and the words.</summary>
    public static (int Minutes, string Words)? ZoneOf(IEnumerable<string> preamble)
    {
        foreach (var line in preamble)
        {
            var speaksOfZone = line.Contains("zone", StringComparison.OrdinalIgnoreCase) || line.Contains("tz", StringComparison.OrdinalIgnoreCase);
            foreach (var part in line.Split(Breaks, StringSplitOptions.RemoveEmptyEntries))
            {
                var text = part.TrimEnd(':', '.');
                var isNamed = text.StartsWith("UTC", StringComparison.OrdinalIgnoreCase) || text.StartsWith("GMT", StringComparison.OrdinalIgnoreCase);
                if ((isNamed || (speaksOfZone && text[0] is '+' or '-')) && ClockText.TryZone(text, out var minutes))
                {
                    return (minutes, text);
                }
            }
        }

        return null;
    }

    /// <summary>The order of day and month by a pattern such as dd/mm/yyyy, in the header or above it, or by a date above it that has only one reading.</summary>
    /// <param name="header">Header of the times.</param>
    /// <param name="preamble">Lines above the header.</param>
    public static (DateOrder Order, string Where)? OrderOf(string header, IEnumerable<string> preamble)
    {
        if (OfPattern(header) is { } inHeader)
        {
            return (inHeader, "as the header says");
        }

        DateOrder? found = null;
        foreach (var line in preamble)
        {
            if (OfPattern(line) is { } inLine)
            {
                return (inLine, "as a line above the header says");
            }

            foreach (var part in line.Split(Breaks, StringSplitOptions.RemoveEmptyEntries))
            {
                if (ClockText.TryRead(part, out var reading) && reading.Shape == DateShape.YearLast && (reading.A > 12 || reading.B > 12))
                {
                    found ??= reading.A > 12 ? DateOrder.DayFirst : DateOrder.MonthFirst;
                }
            }
        }

        return found is { } order ? (order, "as a date above the header is written") : null;
    }

    /// <summary>A unit that a line above the header gives for all readings, as in "Unit=ug/m³".</summary>
    public static (LogUnit Unit, string Written)? UnitOf(IEnumerable<string> preamble, string quantity)
    {
        foreach (var line in preamble)
        {
            var plain = HeaderText.Plain(line);
            if (!(plain.Contains("unit", StringComparison.Ordinal) || plain.Contains("einheit", StringComparison.Ordinal)))
            {
                continue;
            }

            foreach (var part in plain.Split([.. Breaks, ':'], StringSplitOptions.RemoveEmptyEntries))
            {
                if (LogUnit.Of(HeaderText.Compact(part))?.For(quantity) is { } unit)
                {
                    return (unit, part);
                }
            }
        }

        return null;
    }

    private static DateOrder? OfPattern(string text)
    {
        var plain = text.ToLowerInvariant();
        var (day, month) = (plain.IndexOf("dd", StringComparison.Ordinal), plain.IndexOf("mm", StringComparison.Ordinal));
        (day, month) = (day < 0 ? plain.IndexOf("d/", StringComparison.Ordinal) : day, month < 0 ? plain.IndexOf("m/", StringComparison.Ordinal) : month);
        var year = plain.IndexOf("yy", StringComparison.Ordinal);
        year = year < 0 ? Math.Max(plain.IndexOf("jj", StringComparison.Ordinal), plain.IndexOf("aaaa", StringComparison.Ordinal)) : year;
        return day >= 0 && month >= 0 && year > Math.Max(day, month) && Math.Abs(day - month) <= 4 ? (day < month ? DateOrder.DayFirst : DateOrder.MonthFirst) : null;
    }
}
