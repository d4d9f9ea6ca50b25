// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>Gives columns their quantities: those that the user names, then what the headers say.</summary>
/// <param name="file">The log, for messages.</param>
/// <param name="layout">The table.</param>
/// <param name="findings">Takes what had to be assumed.</param>
internal sealed class QuantityNames(string file, LogLayout layout, DiagnosticLog findings)
{
    /// <summary>Most quantities of a log [-].</summary>
    public const int Most = 64;

    private readonly HashSet<string> _taken = [];
    private readonly Dictionary<(string Kind, string Assumed), (int Column, List<string> Names)> _assumed = [];

    /// <summary>Columns that the user names for quantities.</summary>
    public Dictionary<int, (string Name, HeaderMeaning Meaning)> Named { get; } = [];

    /// <summary>Columns that the user names for the time.</summary>
    public List<(int Column, LogUnit? Unit)> NamedTimes { get; } = [];

    /// <summary>Takes what the user names.</summary>
    /// <exception cref="InputProblem">There is no such column, or no such unit of the quantity.</exception>
    public void Take(IReadOnlyList<KeyValuePair<string, string>> columns)
    {
        foreach (var (name, header) in columns)
        {
            var (found, unit) = LogColumns.Find(file, layout, name, header);
            if (name == "time")
            {
                var ofTime = unit is null ? null : LogUnit.Of(HeaderText.Compact(HeaderText.Plain(unit))) is { Kind: UnitKind.Time } known ? known
                    : throw new InputProblem(file, Math.Max(1, layout.HeaderLine), found[0] + 1, $"--columns gives the time the unit '{unit}', expected s, ms, min, h or d");
                NamedTimes.Clear();
                NamedTimes.AddRange(found.Select(column => (column, ofTime)));
                continue;
            }

            var kind = name.Split('#')[0];
            var meaning = HeaderMeaning.Named(kind, layout.Headers[found[0]], unit)
                ?? throw new InputProblem(file, Math.Max(1, layout.HeaderLine), found[0] + 1, $"--columns gives {name} the unit '{unit}', which is none of it; expected {UnitsOf(kind)}");
            if (!Named.TryAdd(found[0], (name, meaning)))
            {
                throw new InputProblem(file, Math.Max(1, layout.HeaderLine), found[0] + 1, $"--columns names {LogColumns.NameOf(layout.Headers, found[0])} twice, for {Named[found[0]].Name} and for {name}");
            }

            if (!_taken.Add(name))
            {
                throw new InputProblem(file, Math.Max(1, layout.HeaderLine), found[0] + 1, $"--columns names two columns for {name}; write {name.Split('#')[0]}#2 for the second");
            }
        }
    }

    /// <summary>A free name of a quantity: <c>pm25</c>, then <c>pm25#2</c>.</summary>
    public string NextName(string kind)
    {
        var name = kind;
        for (var number = 2; !_taken.Add(name); number++)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{kind}#{number}");
        }

        return name;
    }

    /// <summary>The meaning with a unit: that of the header, of the cells, of the lines above, or the usual one.</summary>
    /// <param name="meaning">What the header says.</param>
    /// <param name="column">The column, from 0.</param>
    /// <param name="name">Name of the column for messages.</param>
    /// <param name="cells">Some of its cells.</param>
    /// <returns>The meaning; a role other than a quantity where it cannot be used.</returns>
    public HeaderMeaning WithUnit(HeaderMeaning meaning, int column, string name, IReadOnlyList<string> cells)
    {
        var kind = meaning.Quantity!;
        var numbers = new List<double>();
        foreach (var cell in cells)
        {
            if (NumberCell.Read(cell.AsSpan().Trim(), layout.DecimalComma, out var value, out var suffix) != CellKind.Number)
            {
                continue;
            }

            numbers.Add(value);
            if (meaning.WrittenUnit is null && !suffix.IsEmpty && LogUnit.Of(HeaderText.Compact(HeaderText.Plain(suffix.ToString())))?.For(kind) is { } own)
            {
                return meaning with { Unit = own, WrittenUnit = suffix.ToString(), Assumed = null };
            }
        }

        if (meaning.WrittenUnit is null && LogHints.UnitOf(layout.Preamble, kind) is var (above, words))
        {
            return meaning with { Unit = above, WrittenUnit = words, Assumed = null };
        }

        if (meaning.Unit is null && kind == "tvoc" && numbers.Count > 0 && LooksLikeIndex(numbers))
        {
            findings.Report(Severity.Warning, "taken-as-index", layout.HeaderLine, column + 1,
                $"{name} has no unit and looks like an index around 100, so it is taken as one and not as a concentration; if it is one, add --columns 'tvoc={name}[ppb]'", changesResult: true, subject: name);
            return meaning with { Quantity = "tvoc_index", Unit = LogUnit.Index };
        }

        if (meaning.Assumed is { } assumed)
        {
            var unit = meaning.Unit ?? LogUnit.Usual(kind)!;
            if (!_assumed.TryGetValue((kind, assumed), out var same))
            {
                _assumed[(kind, assumed)] = same = (column, []);
            }

            same.Names.Add(name);
            return meaning with { Unit = unit };
        }

        if (meaning.Unit is not null)
        {
            return meaning;
        }

        if (LogUnit.Usual(kind) is not { } usual)
        {
            return new HeaderMeaning(ColumnRole.Other, Why: $"no unit is stated; add --columns '{kind}={name}[ppb]', or [mg/m3]");
        }

        if (kind == "tvoc")
        {
            findings.Report(Severity.Warning, "unit-assumed", layout.HeaderLine, column + 1, $"{name} states no unit and is taken as ppb; if it is another, add --columns 'tvoc={name}[mg/m3]'", changesResult: true, subject: name);
        }
        else if (kind == "temperature" && numbers.Count > 0 && numbers.Average() is > 45 and < 130)
        {
            findings.Report(Severity.Warning, "unit-assumed", layout.HeaderLine, column + 1, $"{name} states no unit; its values look like degF and are taken as such; if they are not, add --columns 'temperature={name}[C]'", changesResult: true, subject: name);
            return meaning with { Unit = LogUnit.Fahrenheit };
        }

        return meaning with { Unit = usual };
    }

    /// <summary>Says what was assumed, once for all columns of which the same was.</summary>
    public void ReportAssumed()
    {
        foreach (var ((kind, assumed), (column, names)) in _assumed)
        {
            var all = string.Join(", ", names.Take(8)) + (names.Count > 8 ? ", ..." : "");
            findings.Report(Severity.Warning, "meaning-assumed", layout.HeaderLine, column + 1,
                kind == "number"
                    ? $"{all} {(names.Count == 1 ? "states no unit and is" : "state no unit and are")} taken as {(assumed == "1/cm3" ? "particles in 1 cm3" : assumed)}; for another add such as --columns 'number={names[0]}[#/l]'"
                    : $"{all} is taken as {assumed}; if it is something else, name another column with --columns {kind}=HEADER", changesResult: true, subject: names[0]);
        }
    }

    /// <summary>The name of a unit for texts.</summary>
    public static string UnitsOf(string kind) => kind switch
    {
        "pm1" or "pm25" or "pm4" or "pm10" => "ug/m3, mg/m3 or ng/m3",
        "number" => "#/cm3, #/l, #/0.1l, #/m3 or #/ft3",
        "tvoc" or "formaldehyde" => "ppb, ppm, ug/m3 or mg/m3",
        "co2" => "ppm",
        "temperature" => "C, F or K",
        "humidity" => "%",
        _ => "none",
    };

    private static bool LooksLikeIndex(List<double> numbers)
    {
        var sorted = numbers.Order().ToList();
        return numbers.TrueForAll(static v => v is >= 0 and <= 500 && v == Math.Floor(v)) && sorted[sorted.Count / 2] is >= 50 and <= 150;
    }
}
