// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Trial;

namespace Fumecast.Report;

/// <summary>Writes a log in one clean form: <c>time</c> in ISO 8601, or <c>time_s</c> where the log has no date, then a column for each quantity with its unit in the name, such as <c>pm25_ug_per_m3</c>.</summary>
/// <remarks>Cells are empty where no reading counts: held, over the range, faults, missing. Rows without any reading that counts stay, so that gaps show. The reader understands this form.</remarks>
public static class LogCsv
{
    /// <summary>Writes the table.</summary>
    /// <param name="output">Where to write, in UTF-8; it is not closed.</param>
    /// <param name="log">The log.</param>
    public static void Write(Stream output, MeterLog log)
    {
        ArgumentNullException.ThrowIfNull(log);
        using var to = new StreamWriter(output, new UTF8Encoding(false), 1 << 16, leaveOpen: true) { NewLine = "\n" };
        var header = new CsvRow().Text(log.Time.StartLocal is null ? "time_s" : "time");
        foreach (var quantity in log.Quantities)
        {
            header.Text(Name(quantity));
        }

        header.Write(to);
        var at = new int[log.Quantities.Count];
        var cell = new char[64];
        while (NextTime(log, at) is { } timeS)
        {
            if (log.Time.StartLocal is null)
            {
                WriteNumber(to, cell, timeS);
            }
            else
            {
                to.Write(log.Time.Show(timeS));
            }

            for (var i = 0; i < at.Length; i++)
            {
                to.Write(',');
                var quantity = log.Quantities[i];
                var value = double.NaN;

                // Of several rows at one time the reading that counts.
                for (; at[i] < quantity.TimesS.Length && quantity.TimesS[at[i]] == timeS; at[i]++)
                {
                    value = quantity.States[at[i]] == ReadingState.Used ? quantity.Values[at[i]] : value;
                }

                if (!double.IsNaN(value))
                {
                    WriteNumber(to, cell, value);
                }
            }

            to.Write('\n');
        }
    }

    /// <summary>Header of a quantity: <c>pm25_ug_per_m3</c>, <c>number_above_0.3um_per_cm3</c>, <c>tvoc_index</c>.</summary>
    private static string Name(LogQuantity quantity)
    {
        var above = quantity.CutFromUm is { } from ? Amounts.Invariant($"_above_{from:0.###}um") : "";
        var below = quantity.CutToUm is { } to ? Amounts.Invariant($"_below_{to:0.###}um") : "";
        return $"{quantity.Name}{above}{below}{(quantity.Unit == "index" ? "" : "_" + quantity.Unit)}";
    }

    /// <summary>The earliest time that was not written; null at the end.</summary>
    private static double? NextTime(MeterLog log, int[] at)
    {
        double? next = null;
        for (var i = 0; i < at.Length; i++)
        {
            var times = log.Quantities[i].TimesS;
            if (at[i] < times.Length && !(times[at[i]] >= next))
            {
                next = times[at[i]];
            }
        }

        return next;
    }

    private static void WriteNumber(StreamWriter to, char[] cell, double value)
    {
        value.TryFormat(cell, out var length, "R", CultureInfo.InvariantCulture);
        to.Write(cell, 0, length);
    }
}
