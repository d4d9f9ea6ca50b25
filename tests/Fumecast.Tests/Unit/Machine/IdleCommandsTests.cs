// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Machine;

public class IdleCommandsTests
{
    [Fact]
    public void Each_stands_once_in_a_group_with_a_purpose_and_a_source()
    {
        var numbers = IdleCommands.OfM.SelectMany(group => group.Numbers).ToList();
        Assert.Equal(numbers.Distinct().Count(), numbers.Count);
        Assert.All(IdleCommands.OfM, group => Assert.True(group.Purpose.Length > 0 && group.Source.Length > 0));
    }

    [Fact]
    public void Each_is_known_and_feeds_nothing()
    {
        foreach (var number in IdleCommands.OfM.SelectMany(group => group.Numbers).Except([82]))
        {
            var run = Simulated.Run(string.Create(CultureInfo.InvariantCulture, $"M83\nG1 X10 E1 F600\nM{number}\nG1 X20 E1\n"));
            Close.To(2, run.DepositedMm, 1e-12);
            Assert.DoesNotContain(run.Log.Entries, entry => entry.Code == "unknown-command");
        }
    }

    [Theory]
    [InlineData(7)]
    [InlineData(9034)]
    [InlineData(99999)]
    public void Others_are_said_to_be_unknown(int number) =>
        Assert.Contains(
            Simulated.Run(string.Create(CultureInfo.InvariantCulture, $"M{number}\n")).Log.Entries, entry => entry is { Code: "unknown-command", Severity: Severity.Warning });
}
