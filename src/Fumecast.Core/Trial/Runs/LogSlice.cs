// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Trial;

/// <summary>A stretch of one quantity of a log as an estimator takes it.</summary>
/// <param name="Records">Means over records, in hours of the log's own count, in the quantity's unit.</param>
/// <param name="Readings">Readings that went in.</param>
/// <param name="LeftOut">Readings in the stretch that did not: marked, held, spikes, or of a time that the notebook leaves out.</param>
internal sealed record LogSlice(RunRecords Records, int Readings, int LeftOut)
{
    private const double HourS = 3600, ShortestRecordH = 1.0 / 60;
    private const int MostRecords = 1500, LeastRecords = 8;
    private const double LeastFilled = 0.5, LongestSpikeH = 2.0 / 60;

    /// <summary>Takes a stretch; null where it holds too few readings to go by.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="intervalS">Median step from one reading to the next [s].</param>
    /// <param name="fromH">Beginning [h].</param>
    /// <param name="toH">End [h].</param>
    /// <param name="leaveOut">Spans that are left out [h].</param>
    /// <param name="leastRecordH">Least length of a record [h].</param>
    public static LogSlice? Of(LogQuantity quantity, double intervalS, double fromH, double toH, IReadOnlyList<(double FromH, double ToH)> leaveOut, double leastRecordH = ShortestRecordH)
    {
        var (times, values) = (new List<double>(), new List<double>());
        var all = 0;
        for (var i = 0; i < quantity.TimesS.Length; i++)
        {
            var hours = quantity.TimesS[i] / HourS;
            if (hours < fromH || hours >= toH)
            {
                continue;
            }

            all++;
            if (quantity.States[i] == ReadingState.Used && !leaveOut.Any(span => hours >= span.FromH && hours < span.ToH))
            {
                times.Add(hours);
                values.Add(quantity.Values[i]);
            }
        }

        if (values.Count < LeastRecords)
        {
            return null;
        }

        var step = StepOf(values);
        var length = Math.Max(Math.Max(intervalS / HourS, leastRecordH), (times[^1] - times[0]) / MostRecords);
        // Rows that hold a reading are none: what counts is how many readings there are.
        var perRecord = length * (values.Count - 1) / Math.Max(1e-9, times[^1] - times[0]);
        if (length * HourS / intervalS < 1.5)
        {
            length = intervalS / HourS;
        }

        var (starts, means) = Means(times, values, length, Math.Max(1, LeastFilled * (values.Count / Math.Max(1e-9, times[^1] - times[0])) * length));
        if (starts.Count < LeastRecords)
        {
            return null;
        }

        // Roundings of several readings average out only where noise carries them across the steps: where neighbours mostly differ.
        var differ = Enumerable.Range(1, values.Count - 1).Count(i => values[i] != values[i - 1]) > values.Count / 2;
        var records = new RunRecords([.. starts], [.. means], length, differ ? step / Math.Sqrt(Math.Max(1, Math.Floor(perRecord))) : step);

        // Two rows of ten minutes are a print, not a spike.
        var spikes = length > LongestSpikeH ? [] : Spikes.Single(means.ToArray(), FloorOf(records), records.DisplayStep);
        if (spikes.Count > 0)
        {
            var keep = Enumerable.Range(0, starts.Count).Except(spikes).ToArray();
            records = new RunRecords([.. keep.Select(i => starts[i])], [.. keep.Select(i => means[i])], length, records.DisplayStep);
        }

        return new LogSlice(records, values.Count, all - values.Count + spikes.Count);
    }

    /// <summary>Noise of readings by what they change over some minutes; most minutes change little even while a print begins.</summary>
    /// <param name="records">The readings.</param>
    public static double FloorOf(RunRecords records)
    {
        const double apartH = 6.0 / 60;
        var rows = Math.Max(1, (int)Math.Round(apartH / records.LengthH));
        var changes = Enumerable.Range(0, Math.Max(0, records.Values.Length - rows)).Select(i => Math.Abs(records.Values[i + rows] - records.Values[i])).ToArray();
        var byChanges = changes.Length == 0 ? 0 : Spikes.DeviationOverMedian * changes.Median() / Math.Sqrt(2);
        return Math.Max(byChanges, Math.Max(records.DisplayStep / Math.Sqrt(12), 1e-6 * records.Values.Max(Math.Abs) + 1e-12));
    }

    /// <summary>Step of the display: the smallest difference between readings that differ.</summary>
    public static double StepOf(IReadOnlyList<double> values)
    {
        double[] levels = [.. values.Distinct().Order()];
        var least = double.PositiveInfinity;
        for (var i = 1; i < levels.Length; i++)
        {
            if (levels[i] - levels[i - 1] > 1e-9 * Math.Abs(levels[i]))
            {
                least = Math.Min(least, levels[i] - levels[i - 1]);
            }
        }

        return double.IsFinite(least) ? least : 0;
    }

    private static (List<double> StartsH, List<double> Values) Means(List<double> times, List<double> values, double lengthH, double least)
    {
        var (starts, means) = (new List<double>(), new List<double>());
        for (var i = 0; i < times.Count;)
        {
            var record = Math.Floor((times[i] - times[0]) / lengthH + 1e-6);
            var (sum, count) = (0.0, 0);
            while (i < times.Count && Math.Floor((times[i] - times[0]) / lengthH + 1e-6) == record)
            {
                sum += values[i];
                count++;
                i++;
            }

            if (count >= least - 1e-9 || count == times.Count)
            {
                starts.Add(times[0] + record * lengthH);
                means.Add(sum / count);
            }
        }

        return (starts, means);
    }
}
