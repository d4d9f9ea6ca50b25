// SPDX-License-Identifier: MIT
namespace Fumecast.Trial;

/// <summary>What a reading of a log is worth.</summary>
public enum ReadingState : byte
{
    /// <summary>A reading.</summary>
    Used,

    /// <summary>The last reading once more, and no new one.</summary>
    Held,

    /// <summary>The meter could not show more; the value is the mark that it wrote.</summary>
    OverRange,

    /// <summary>A mark or a word for a fault stands in place of a reading; the value is not a number.</summary>
    ErrorMark,

    /// <summary>The cell is empty; the value is not a number.</summary>
    Missing,

    /// <summary>There is a reading at this very time already.</summary>
    Repeated,
}

/// <summary>One quantity of a log: parallel columns of time, value and state, in the order of time.</summary>
public sealed class LogQuantity
{
    private readonly double[] _timesS;
    private readonly double[] _values;
    private readonly ReadingState[] _states;
    private readonly int[] _counts = new int[6];

    internal LogQuantity(string name, string column, LogUnit unit, string? writtenUnit, double? cutFromUm, double? cutToUm, double[] timesS, double[] values, ReadingState[] states)
    {
        Name = name;
        Column = column;
        Unit = unit.Canonical;
        WrittenUnit = writtenUnit;
        Factor = unit.Factor;
        CutFromUm = cutFromUm;
        CutToUm = cutToUm;
        (_timesS, _values, _states) = (timesS, values, states);
        var (sum, low, high) = (0.0, double.PositiveInfinity, double.NegativeInfinity);
        for (var i = 0; i < states.Length; i++)
        {
            _counts[(int)states[i]]++;
            if (states[i] == ReadingState.Used)
            {
                sum += values[i];
                low = Math.Min(low, values[i]);
                high = Math.Max(high, values[i]);
            }
        }

        if (UsedCount > 0)
        {
            (Mean, Min, Max) = (sum / UsedCount, low, high);
        }
    }

    /// <summary><c>pm1 pm25 pm4 pm10 number tvoc tvoc_index formaldehyde co2 temperature humidity</c>; a second of the same is <c>pm25#2</c>.</summary>
    public string Name { get; }

    /// <summary>The name without the number behind it.</summary>
    public string Kind => Name.Split('#')[0];

    /// <summary>The header of the column that it comes from; in the long form, what the column of names calls it.</summary>
    public string Column { get; }

    /// <summary>Unit of the values: <c>ug_per_m3</c>, <c>per_cm3</c>, <c>ppm</c>, <c>ppb</c>, <c>c</c>, <c>percent</c>, <c>index</c>.</summary>
    public string Unit { get; }

    /// <summary>The unit as the file writes it; null where it was assumed.</summary>
    public string? WrittenUnit { get; }

    /// <summary>What a written value was multiplied by, before any shift of a temperature scale [-].</summary>
    public double Factor { get; }

    /// <summary>For numbers: only particles above this diameter count [um]; null where that is not stated.</summary>
    public double? CutFromUm { get; }

    /// <summary>For numbers: only particles below this diameter count [um]; null where that is not stated.</summary>
    public double? CutToUm { get; }

    /// <summary>Times, never falling [s]: since <see cref="LogTime.StartLocal"/>, or as written where the log has no date.</summary>
    public ReadOnlySpan<double> TimesS => _timesS;

    /// <summary>Values [<see cref="Unit"/>]; not a number where there is none.</summary>
    public ReadOnlySpan<double> Values => _values;

    /// <summary>What each is worth.</summary>
    public ReadOnlySpan<ReadingState> States => _states;

    /// <summary>Readings that count [-].</summary>
    public int UsedCount => Count(ReadingState.Used);

    /// <summary>Mean of those [<see cref="Unit"/>]; null where there is none.</summary>
    public double? Mean { get; }

    /// <summary>The lowest of those [<see cref="Unit"/>]; null where there is none.</summary>
    public double? Min { get; }

    /// <summary>The highest of those [<see cref="Unit"/>]; null where there is none.</summary>
    public double? Max { get; }

    /// <summary>How many readings have a state [-].</summary>
    /// <param name="state">The state.</param>
    public int Count(ReadingState state) => _counts[(int)state];

    /// <summary>The readings that count, without the others.</summary>
    /// <returns>Times [s] and values [<see cref="Unit"/>], as long as each other.</returns>
    public (double[] TimesS, double[] Values) Used()
    {
        var (times, values) = (new double[UsedCount], new double[UsedCount]);
        var to = 0;
        for (var i = 0; i < _states.Length; i++)
        {
            if (_states[i] == ReadingState.Used)
            {
                (times[to], values[to]) = (_timesS[i], _values[i]);
                to++;
            }
        }

        return (times, values);
    }
}
