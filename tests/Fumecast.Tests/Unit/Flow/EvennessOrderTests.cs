// SPDX-License-Identifier: MIT
using Fumecast.Flow;

namespace Fumecast.Tests.Unit.Flow;

public class EvennessOrderTests
{
    [Fact]
    public void Long_enough_comes_first_then_grade_then_readable_time_then_least_wander_then_least_idle_and_unknown_last()
    {
        FlowEvenness[] inOrder =
        [
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.04, ReadFromS = 1800, ReadToS = 9000 },
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.01, ReadFromS = 1800, ReadToS = 7200 },
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.01, IdleShare = 0.1 },
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.01, IdleShare = 0.2 },
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.03, IdleShare = 0 },
            new() { IntervalS = 10, Grade = EvennessGrade.Fair, PlateauWander = 0.02, IdleShare = 0.5 },
            new() { IntervalS = 10, Grade = EvennessGrade.Flat, PlateauWander = 0.001, IsTooShort = true },
            new() { IntervalS = 10 },
        ];
        Assert.Equal(inOrder, inOrder.Reverse().Order(EvennessOrder.BestFirst));
    }
}
