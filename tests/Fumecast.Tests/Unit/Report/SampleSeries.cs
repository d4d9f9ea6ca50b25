// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;

namespace Fumecast.Tests.Unit.Report;

/// <summary>A series made by hand: heating up, layers with a rhythm, a hot nozzle at rest; the numbers are invented.</summary>
internal static class SampleSeries
{
    public static readonly Agent[] Agents = [new("particle_number", "Particles", "1"), new("tvoc", "TVOC", "ug")];

    /// <summary>Plays the series into a receiver.</summary>
    /// <param name="sink">The receiver.</param>
    /// <param name="durationS">Length of the job [s]; need not be a multiple of the bin.</param>
    /// <param name="binS">Length of a bin [s].</param>
    public static void Play(ISeriesSink sink, double durationS, double binS)
    {
        sink.Begin(Agents);
        var bins = (int)Math.Ceiling(durationS / binS);
        for (var i = 0; i < bins; i++)
        {
            var t = i * binS;
            var length = Math.Min(binS, durationS - t);
            var mid = t + (0.5 * length);
            var share = mid / durationS;
            var warm = 0.05 * durationS;
            var nozzle = mid < warm ? 20 + (220 * Math.Min(1, 1.2 * mid / warm)) : mid > 0.97 * durationS ? 240 - (2000 * (share - 0.97)) : 240;
            var flow = mid < warm || mid > 0.97 * durationS
                ? 0
                : Math.Max(0, 4 + (2.4 * Math.Sin(mid / 37) * Math.Sin(mid / 211)) + (0.8 * Math.Sin(mid * 1.7)));
            var burst = mid < warm ? 0 : 1 + (8 * Math.Exp(-(mid - warm) / 408));
            var number = (1.2e9 * flow * burst) + (nozzle > 200 ? 4e8 : 0);
            var vapours = (8 * flow) + (nozzle > 200 ? 1 : 0);
            var row = new SeriesRow
            {
                TimeS = t,
                DurationS = length,
                FlowMm3PerS = flow,
                MassRateGPerH = flow * 1.04e-3 * 3600,
                NozzleC = nozzle,
            };
            sink.Row(in row, [new(number / 15, number, number * 15), new(vapours / 4, vapours, vapours * 4)]);
        }
    }
}
