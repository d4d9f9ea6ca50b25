// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Report;

public class SeriesCsvTests
{
    private static string[] Written(double binS, Action<ISeriesSink> play)
    {
        using var stream = new MemoryStream();
        var csv = new SeriesCsv(stream, binS);
        play(csv);
        csv.Flush();
        var text = Encoding.UTF8.GetString(stream.ToArray());
        Assert.EndsWith("\n", text);
        return text.TrimEnd('\n').Split('\n');
    }

    private static double Cell(string row, int column) => double.Parse(row.Split(',')[column], CultureInfo.InvariantCulture);

    [Fact]
    public void The_header_names_each_column_with_its_unit()
    {
        var rows = Written(10, static sink => SampleSeries.Play(sink, 30, 10));
        Assert.Equal(
            "time_s,flow_mm3_per_s,mass_rate_g_per_h,nozzle_c,particle_number_per_min,particle_number_per_min_low,particle_number_per_min_high,"
            + "tvoc_ug_per_min,tvoc_ug_per_min_low,tvoc_ug_per_min_high", rows[0]);
        Assert.Equal(4, rows.Length);
        Assert.All(rows, static row => Assert.Equal(10, row.Split(',').Length));
    }

    [Fact]
    public void Numbers_read_back_bit_for_bit_under_any_culture()
    {
        double[] odd = [0.1, 1.0 / 3, 1e-300, 1.7976931348623157e308, -2.5, 123456789.125, 4_000_000_000, 1e15, -0.0, double.Epsilon];
        var rows = Written(10, sink =>
        {
            sink.Begin([]);
            foreach (var value in odd)
            {
                var row = new SeriesRow { DurationS = 10, FlowMm3PerS = value };
                sink.Row(in row, []);
            }
        });
        Assert.Equal("time_s,flow_mm3_per_s,mass_rate_g_per_h,nozzle_c", rows[0]);
        for (var i = 0; i < odd.Length; i++)
        {
            Assert.Equal(odd[i], Cell(rows[i + 1], 1));
        }
    }

    [Fact]
    public void Rate_times_bin_over_the_rows_is_the_total() =>
        Gen.Select(Gen.Double[1, 20_000], Gen.Double[0.5, 100]).Sample(
            (durationS, binS) =>
            {
                var total = new Summing();
                SampleSeries.Play(total, durationS, binS);
                var rows = Written(binS, sink => SampleSeries.Play(sink, durationS, binS));
                var sum = rows.Skip(1).Sum(row => Cell(row, 4)) * binS / 60;
                var volume = rows.Skip(1).Sum(row => Cell(row, 1)) * binS;
                return Math.Abs(sum - total.Particles) <= 1e-9 * total.Particles && Math.Abs(volume - total.VolumeMm3) <= 1e-9 * total.VolumeMm3;
            },
            iter: 100);

    [Fact]
    public void A_second_beginning_voids_the_first()
    {
        var once = Written(10, static sink => SampleSeries.Play(sink, 500, 10));
        var twice = Written(10, static sink =>
        {
            SampleSeries.Play(sink, 200_000, 10); // more than the buffer holds
            SampleSeries.Play(sink, 500, 10);
        });
        Assert.Equal(once, twice);
    }

    [Fact]
    public void Several_receivers_get_the_same_rows()
    {
        var first = new Summing();
        var second = new Summing();
        SampleSeries.Play(new SeriesTee(first, second), 100, 10);
        Assert.True(first.Particles > 0);
        Assert.Equal(first.Particles, second.Particles);
    }

    private sealed class Summing : ISeriesSink
    {
        public double Particles { get; private set; }

        public double VolumeMm3 { get; private set; }

        public void Begin(IReadOnlyList<Agent> agents)
        {
        }

        public void Row(ref readonly SeriesRow row, ReadOnlySpan<Uncertain> ratesPerMin)
        {
            Particles += ratesPerMin[0].Median * row.DurationS / 60;
            VolumeMm3 += row.FlowMm3PerS * row.DurationS;
        }
    }
}
