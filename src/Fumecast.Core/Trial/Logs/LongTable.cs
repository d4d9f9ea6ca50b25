// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>Where a table in the long form names the quantity, the value, the unit and the device of a row.</summary>
/// <param name="Parameter">Column that names the quantity.</param>
/// <param name="Value">Column of the value.</param>
/// <param name="UnitName">Column of the unit; -1 for none.</param>
/// <param name="Device">Column that tells devices apart; -1 for none.</param>
internal sealed record LongTable(int Parameter, int Value, int UnitName, int Device)
{
    /// <summary>More kinds of rows than this are no quantities [-].</summary>
    private const int MostParameters = 200;

    /// <summary>Looks for the long form: a column of names, few of them, beside one of values, and no column of its own for any quantity of the air.</summary>
    public static LongTable? Find(LogLayout layout, LogOptions options)
    {
        if (options.Columns.Any(static column => column.Key != "time") || layout.Headers.Length < 3)
        {
            return null;
        }

        var (parameter, value, unit, device) = (-1, -1, -1, -1);
        for (var i = 0; i < Math.Min(layout.Headers.Length, 500); i++)
        {
            var meaning = HeaderMeaning.Of(layout.Headers[i]);
            var cells = layout.Rows.Skip(layout.DataAt).Select(row => i < row.Cells.Length ? row.Cells[i].Trim() : "").ToList();
            switch (meaning.Role)
            {
                case ColumnRole.Quantity when cells.Count(cell => layout.KindOf(cell) == 'N') * 2 > cells.Count:
                    return null;
                case ColumnRole.Parameter when IsNames(layout, cells) && (parameter < 0 || Known(layout, parameter) < cells.Count(IsKnown)):
                    parameter = i;
                    break;
                case ColumnRole.Value or ColumnRole.Other when IsValue(layout.Headers[i], meaning.Role) && value < 0 && cells.Exists(cell => layout.KindOf(cell) == 'N'):
                    value = i;
                    break;
                case ColumnRole.UnitName when unit < 0:
                    unit = i;
                    break;
                case ColumnRole.Device when device < 0:
                    device = i;
                    break;
            }
        }

        return parameter >= 0 && value >= 0 ? new LongTable(parameter, value, unit, device) : null;
    }

    /// <summary>What a row holds, by the name of its quantity and its unit.</summary>
    public static HeaderMeaning MeaningOf(string parameter, string unit)
    {
        var meaning = HeaderMeaning.Of(unit.Length > 0 ? $"{parameter} [{unit}]" : parameter);
        if (meaning.Role != ColumnRole.Quantity && parameter.Split('.', '/', ':') is { Length: > 1 } parts)
        {
            // "sensor.workshop_pm25": the last part has the quantity.
            meaning = HeaderMeaning.Of(unit.Length > 0 ? $"{parts[^1]} [{unit}]" : parts[^1]);
        }

        return meaning.Role == ColumnRole.Quantity ? meaning : meaning with { Role = ColumnRole.Other, Why = meaning.Why ?? "no quantity that is known to us" };
    }

    private static bool IsValue(string header, ColumnRole role) => role == ColumnRole.Value || HeaderText.Plain(header) is "state";

    private static bool IsNames(LogLayout layout, List<string> cells) =>
        cells.Count(cell => layout.KindOf(cell) == 'X') * 2 > cells.Count && cells.Distinct().Take(MostParameters + 1).Count() <= MostParameters && cells.Exists(IsKnown);

    private static bool IsKnown(string cell) => MeaningOf(cell, "").Role == ColumnRole.Quantity || HeaderMeaning.Of(cell).Role == ColumnRole.Other;

    private static int Known(LogLayout layout, int column) => layout.Rows.Skip(layout.DataAt).Count(row => column < row.Cells.Length && IsKnown(row.Cells[column].Trim()));
}
