// SPDX-License-Identifier: MIT
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Machine;

public class DialectsTests
{
    [Fact]
    [Published("public documentation of four firmware families", "gcode reference, 2.9")]
    public void Families_differ_where_their_documentation_says_so()
    {
        Assert.Equal([EModeRule.LastWins, EModeRule.LastWins, EModeRule.EitherRelative, EModeRule.Independent], Dialects.All.Select(dialect => dialect.EMode));
        Assert.Equal([0.001, 1, 0.001, 0.001], Dialects.All.Select(dialect => dialect.G4PUnitS));
        Assert.Equal([false, true, false, false], Dialects.All.Select(dialect => dialect.G0AtMaximum));
        Assert.Equal([1500, null, 1500, 3000], Dialects.All.Select(dialect => dialect.DefaultFeedMmPerMin));
        Assert.Equal([InchScope.All, InchScope.All, InchScope.None, InchScope.Motion], Dialects.All.Select(dialect => dialect.Inches));
        Assert.Equal([G10Rule.Retract, G10Rule.Offsets, G10Rule.Retract, G10Rule.ByParameters], Dialects.All.Select(dialect => dialect.G10));
        Assert.Equal([M0Rule.Pause, M0Rule.End, M0Rule.Unknown, M0Rule.End], Dialects.All.Select(dialect => dialect.M0));
        Assert.Equal([false, true, false, false], Dialects.All.Select(dialect => dialect.M30EndsJob));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.M226IsPause));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.FanSharesUpToOne));
        Assert.Equal([false, false, true, false], Dialects.All.Select(dialect => dialect.SWaitsWhileCooling));
        Assert.Equal([false, true, false, true], Dialects.All.Select(dialect => dialect.RunsAllCommandsOfALine));
        Assert.Equal([false, true, false, false], Dialects.All.Select(dialect => dialect.RepeatsMotion));
        Assert.Equal([1, 0, 1, 1], Dialects.All.Select(dialect => dialect.ArcSegmentMm));
        Assert.Equal([0, 0.002, 0, 0], Dialects.All.Select(dialect => dialect.ArcToleranceMm));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.M203PerMinute));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.M208IsAxisLimits));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.M109SelectsTool));
        Assert.Equal([false, false, false, true], Dialects.All.Select(dialect => dialect.M566SetsJerk));
        Assert.Equal(
            (M204Rule.PrintTravelRetract, M204Rule.SOrSmallerOfBoth, M204Rule.PrintTravel),
            (Dialects.NumberedCommands.M204, Dialects.NamedMacros.M204, Dialects.BoardConfigured.M204));
    }

    [Fact]
    public void Dialect_is_found_by_its_id()
    {
        Assert.Same(Dialects.NamedMacros, Dialects.Find("named-macros"));
        Assert.Null(Dialects.Find("other"));
    }
}
