// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Report;
using static Fumecast.Tests.Unit.Flow.EvennessAccumulatorTests;

namespace Fumecast.Tests.Unit.Report;

public class EvennessAdviceTests
{
    private static string Advice(IEnumerable<double> seconds, double intervalS = 10, double? layerS = null) =>
        EvennessAdvice.For(Judge(seconds, intervalS), layerS);

    [Fact]
    public void Rhythm_too_fast_for_the_meter_is_called_invisible() => Assert.Equal(
        "100 % of the unevenness has the rhythm of the layers, 14 s: invisible to a meter that logs every 60 s.",
        Advice(Repeat(1000, [.. Repeat(12, 5), 0, 0]), intervalS: 60, layerS: 14.2));

    [Fact]
    public void Rhythm_that_the_meter_sees_comes_with_the_averaging_that_hides_it() => Assert.Equal(
        "100 % of the unevenness has a rhythm, 14 s: a meter that logs every 10 s sees it, means over 56 s do not.",
        Advice(Repeat(1000, [.. Repeat(12, 5), 0, 0])));

    [Fact]
    public void A_steady_source_is_praised() => Assert.Equal(
        "The plateau would wander by under 1 %: as steady as a low-cost meter can tell.",
        EvennessAdvice.For(Judge(Repeat(5000, 5)) with { Source = new(Agent(0.005, EvennessGrade.Flat), Agent(0.005, EvennessGrade.Flat)) }));

    [Fact]
    public void A_steady_flow_alone_is_not() => Assert.Equal(
        "By the flow alone the plateau would wander by under 1 %; what is given off is judged only with a material.", Advice(Repeat(5000, 5)));

    [Fact]
    public void Slow_change_asks_for_another_print() => Assert.Equal(
        "Choose a print with the same cross-section on every layer.",
        Advice(Enumerable.Range(0, 7200).Select(second => 5 + second / 800.0)));

    [Fact]
    public void Steady_stretch_after_a_lead_in_is_pointed_out() => Assert.Equal(
        "The flow is steady for 60 min of 70 min: read the meter there and leave out the rest.",
        Advice([.. Repeat(600, 9), .. Repeat(3600, 5)]));

    [Fact]
    public void Plateau_within_a_print_is_pointed_out() => Assert.Equal(
        "The flow holds a plateau for 47 min of 77 min: read the meter there and leave out the rest.",
        Advice([.. Repeat(1000, 10), .. Repeat(3600, 5)]));

    [Fact]
    public void Rhythm_with_too_few_periods_to_average_over_is_left_out() => Assert.Equal(
        "A longer print like it could be used, with means over 30 min or more.",
        Advice(Repeat(6, [.. Repeat(300, 5), .. Repeat(100, 4)])));

    [Fact]
    public void Idle_nozzle_is_named() => Assert.Equal(
        "The idle hot nozzle, not the flow, would rule a trial: choose a print with fewer travels and pauses.",
        Advice([.. Repeat(2000, 5, 0, 0, 0), 0.1]));

    [Fact]
    public void A_flat_job_needs_no_reason() => Assert.Null(EvennessAdvice.WhyThisGrade(Judge(Repeat(5000, 5))));

    [Fact]
    public void A_flow_that_wanders_is_the_reason() => Assert.Equal(
        "Uneven because the flow would wander by about 22 % in the air.",
        EvennessAdvice.WhyThisGrade(Judge(Enumerable.Range(0, 7200).Select(second => 5 + second / 800.0))));

    [Fact]
    public void An_idle_nozzle_is_the_reason() => Assert.Equal(
        "Uneven because no filament flows during 75 % of the print phase, while the nozzle stays hot.",
        EvennessAdvice.WhyThisGrade(Judge([.. Repeat(2000, 5, 0, 0, 0), 0.1])));

    [Fact]
    public void An_emission_that_wanders_is_the_reason_and_what_is_better_is_said() => Assert.Equal(
        "Uneven because the forecast particles would wander by about 18 % in the air, temperature and start included; alone, flow flat, TVOC fair.",
        EvennessAdvice.WhyThisGrade(Judge(Repeat(5000, 5)) with
        {
            Grade = EvennessGrade.Uneven,
            Source = new(Agent(0.18, EvennessGrade.Uneven), Agent(0.08, EvennessGrade.Fair)),
        }));

    [Fact]
    public void All_that_set_the_grade_are_named() => Assert.Equal(
        "Fair because no filament flows during 40 % of the print phase, while the nozzle stays hot, and because the forecast particles would wander by about 12 % in the air, temperature and start included"
            + ", and because the forecast TVOC would wander by about 8 % in the air, temperature and start included.",
        EvennessAdvice.WhyThisGrade(Judge(Repeat(5000, 5)) with
        {
            IdleShare = 0.4,
            FlowGrade = EvennessGrade.Fair,
            Grade = EvennessGrade.Fair,
            Source = new(Agent(0.12, EvennessGrade.Fair), Agent(0.08, EvennessGrade.Fair)),
        }));

    [Fact]
    public void The_grade_in_words_says_what_it_is_the_worst_of_and_what_was_not_judged()
    {
        var flow = Judge(Repeat(5000, 5));
        Assert.Equal("flat (flow only: what is given off was not judged)", EvennessAdvice.GradeInWords(flow));
        Assert.Equal(
            "fair (flow flat, particles fair, TVOC flat; the worst counts)",
            EvennessAdvice.GradeInWords(flow with { Grade = EvennessGrade.Fair, Source = new(Agent(0.08, EvennessGrade.Fair), Agent(0.01, EvennessGrade.Flat)) }));
        Assert.Equal("too short for a trial; else flat (flow only: what is given off was not judged)", EvennessAdvice.GradeInWords(Judge(Repeat(1000, 5))));
        Assert.Equal("too short to judge", EvennessAdvice.GradeInWords(Judge([3, 0.5])));
        Assert.Null(EvennessAdvice.GradeInWords(Judge([0, 0])));
    }

    [Theory]
    [InlineData(1810, 5390, "from minute 31 to minute 89 of")]
    [InlineData(1810, 1880, "from minute 30.2 to minute 31.3 of")]
    [InlineData(1800, 2037, "from minute 30 to minute 33.9 of")]
    [InlineData(1.5, 59.5, "from second 2 to second 59 of")]
    [InlineData(3601.2, 3630, "from second 3602 to second 3630 of")]
    public void The_time_to_read_the_meter_is_rounded_inwards_and_never_to_nothing(double fromS, double toS, string words) =>
        Assert.Contains(words, EvennessAdvice.WhenToRead(Judge(Repeat(5400, 5)) with { ReadFromS = fromS, ReadToS = toS }));

    private static AgentEvenness Agent(double wander, EvennessGrade grade) =>
        new() { Cv = wander, PlateauWander = wander, PlateauFromS = 0, PlateauToS = 600, Grade = grade };

    [Fact]
    public void No_deposit_and_too_short_a_print_are_told_apart()
    {
        Assert.Equal("Nothing was deposited, so there is no flow to judge.", Advice([0, 0]));
        Assert.Equal("The print phase lasts 2 s only: too short to judge.", Advice([3, 0.5]));
    }
}
