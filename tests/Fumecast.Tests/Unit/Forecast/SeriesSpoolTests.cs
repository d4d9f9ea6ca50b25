// SPDX-License-Identifier: MIT
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Report;
using Fumecast.Tests.Unit.Report;

namespace Fumecast.Tests.Unit.Forecast;

public class SeriesSpoolTests
{
    [Fact]
    public void A_job_too_long_for_a_series_that_was_asked_for_is_refused()
    {
        using var spool = Filled(isOptional: false, bins: 3);
        Assert.Throws<InputProblem>(() => Filled(isOptional: false, bins: 4));
    }

    [Fact]
    public void One_too_long_for_an_optional_series_goes_without()
    {
        using var spool = Filled(isOptional: true, bins: 10);
        var curves = new SeriesCurves(100, isOptional: true);
        spool.Replay(curves, SampleSeries.Agents, null!);
        Assert.True(curves.Buffer.Points.IsEmpty);
    }

    private static SeriesSpool Filled(bool isOptional, int bins)
    {
        var spool = new SeriesSpool(3, 10, isOptional);
        for (var i = 0; i < bins; i++)
        {
            spool.Add(new SeriesRow { TimeS = 10 * i, DurationS = 10 }, [1, 2]);
        }

        return spool;
    }
}
