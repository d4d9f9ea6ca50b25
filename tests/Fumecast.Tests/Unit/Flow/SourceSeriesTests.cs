// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Tests.Unit.Flow;

public class SourceSeriesTests
{
    private const double AirS = 600;

    [Fact]
    public void A_steady_source_is_one_plateau_from_the_first_deposit_to_the_last()
    {
        var agent = Judge(_ => 5, hours: 4).ParticleNumber!;
        Assert.InRange(agent.Cv, 0, 1e-12);
        Assert.InRange(agent.PlateauWander, 0, 1e-12);
        Assert.Equal((0, 4 * 3600, 0), (agent.PlateauFromS, agent.PlateauToS, agent.SettlesAfterS));
        Assert.Equal(EvennessGrade.Flat, agent.Grade);
    }

    // Three times the rate for the first half hour; what the air keeps of it falls by exp(-t / 600 s) after that.
    [Fact]
    public void A_strong_start_settles_when_the_air_that_is_left_stays_within_a_tenth_of_its_own_middle()
    {
        var agent = Judge(startS => startS < 1800 ? 3 : 1, hours: 6).ParticleNumber!;
        var mean = (3 * 1800 + 1 * (6 * 3600 - 1800)) / (6.0 * 3600);
        var atHalfHour = 3 - (3 - mean) * Math.Exp(-1800 / AirS);
        var expectedS = 1800 + AirS * Math.Log((atHalfHour - 1) / (1.1 / 0.9 - 1));
        Assert.InRange(agent.SettlesAfterS!.Value, expectedS - 20, expectedS + 20);
        Assert.Equal(agent.SettlesAfterS, agent.PlateauFromS);
        Assert.Equal(6 * 3600, agent.PlateauToS);
    }

    // What evaporates in the first hour falls through the median of all; the meter is to be read after it, not on the way. The slow part of the
    // air's answer to 4 exp(-t / 1200 s) is twice that, so the level is within 11:9 of its end from 1200 s ln(8 / (11/9 - 1)) = 4300 s on.
    [Fact]
    public void A_level_that_falls_to_a_rest_is_read_at_rest()
    {
        var agent = Judge(static startS => 1 + 4 * Math.Exp(-startS / 1200), hours: 3).ParticleNumber!;
        Assert.Equal(3 * 3600, agent.PlateauToS);
        Assert.Equal(agent.SettlesAfterS, agent.PlateauFromS);
        Assert.InRange(agent.PlateauFromS, 4300 - 90, 4300 + 90);
    }

    [Fact]
    public void Particles_and_vapours_are_judged_each_on_its_own()
    {
        var source = Judge(startS => startS % 2400 < 1200 ? 0.3 : 1.7, hours: 6, tvoc: static _ => 1);
        Assert.Equal(EvennessGrade.Uneven, source.ParticleNumber!.Grade);
        Assert.Equal(EvennessGrade.Flat, source.Tvoc!.Grade);
        Assert.Null(Judge(static _ => 1, hours: 1, tvoc: static _ => 0).Tvoc);
    }

    // Waiting hot before the print leaves much in the air, or little: only what is above the mean counts against the print.
    [Theory]
    [InlineData(10, true)]
    [InlineData(0.1, false)]
    public void What_the_nozzle_gave_off_before_the_print_counts_where_it_is_more(double before, bool counts)
    {
        var series = new SourceSeries(10);
        for (var startS = 0.0; startS < 1800 + 4 * 3600; startS += 10)
        {
            series.Add(startS, 10, startS < 1800 ? before : 1, 1);
        }

        var agent = series.Judge(1800, 4 * 3600, AirS)!.ParticleNumber!;
        Assert.Equal(counts, agent.PlateauWander > 0.1);
        Assert.Equal(counts, agent.SettlesAfterS > 0);
    }

    [Fact]
    public void A_very_long_job_takes_no_more_room_and_loses_nothing()
    {
        var series = new SourceSeries(10);
        series.Add(0, 30 * 86_400, 2_592_000, 1);
        Assert.InRange(series.CellS, 40, 160);
        Assert.InRange(series.Judge(0, 30 * 86_400, AirS)!.ParticleNumber!.Cv, 0, 1e-6);
    }

    [Fact]
    public void Fewer_than_three_cells_of_print_phase_give_nothing()
    {
        var series = new SourceSeries(10);
        series.Add(0, 10, 1, 1);
        series.Add(10, 10, 1, 1);
        Assert.Null(series.Judge(0, 20, AirS));
    }

    private static SourceEvenness Judge(Func<double, double> number, double hours, Func<double, double>? tvoc = null)
    {
        var series = new SourceSeries(10);
        for (var startS = 0.0; startS < hours * 3600; startS += 10)
        {
            series.Add(startS, 10, number(startS), (tvoc ?? number)(startS));
        }

        return series.Judge(0, hours * 3600, AirS)!;
    }
}
