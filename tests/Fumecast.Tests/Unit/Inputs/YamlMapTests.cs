// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Inputs;

public class YamlMapTests
{
    private enum Shape
    {
        Round,
        NotQuiteRound,
    }

    private sealed record Thing(string Name, double DensityGPerCm3, (double Low, double High)? NozzleC, Shape? Shape, double? HeatW);

    private static Thing Read(string text) => YamlMap.Read(new DataFile("thing.yaml", text), map =>
    {
        var inner = map.OptionalMap("heater");
        return new Thing(
            map.Text("name"),
            map.Number("density", Quantity.Density, 0.1, 20),
            map.OptionalRange("nozzle", Quantity.Temperature, 0, 500),
            map.OptionalChoice<Shape>("shape"),
            inner?.Number("power", Quantity.Power, 0, double.PositiveInfinity));
    });

    private static string ProblemOf(string text) => Assert.Throws<InputProblem>(() => Read(text)).Message;

    [Fact]
    public void Values_come_with_their_units_whatever_the_order()
    {
        var thing = Read("shape: not-quite-round\nheater: { power: 1 kW }\nnozzle: [200 degC, 220 degC]\ndensity: 1.24 g/cm3\nname: a # comment\n");

        Assert.Equal(new Thing("a", 1.24, (200, 220), Shape.NotQuiteRound, 1000), thing);
    }

    [Fact]
    public void Absent_optional_values_are_null() => Assert.Equal(new Thing("a", 1, null, null, null), Read("name: a\ndensity: 1 g/cm3\n"));

    [Theory]
    [InlineData("name: a\n", "thing.yaml:1:1: key 'density' is missing, expected a density such as 1.24 g/cm3")]
    [InlineData("name: a\ndesnity: 1 g/cm3\n", "thing.yaml:2:1: unknown key 'desnity'; did you mean 'density'?")]
    [InlineData("name: a\ndensity: 1 g/cm3\nnozle: [1 degC, 2 degC]\n", "thing.yaml:3:1: unknown key 'nozle'; did you mean 'nozzle'?")]
    [InlineData("name: a\ndensity: 1 g/cm3\ncolour: red\n", "thing.yaml:3:1: unknown key 'colour'; known: heater, nozzle, shape")]
    [InlineData("name: a\ndensity: 1 g/cm3\nheater: { power: 1 W, fan: 2 }\n", "thing.yaml:3:23: unknown key 'fan'")]
    [InlineData("name: a\ndensity: 1.24\n", "thing.yaml:2:10: density: found '1.24' without a unit, expected a density such as 1.24 g/cm3")]
    [InlineData("name: a\ndensity: 1240 g/cm3\n", "thing.yaml:2:10: density: found '1240 g/cm3', expected 0.1 g/cm3 to 20 g/cm3")]
    [InlineData("name: a\ndensity: [1]\n", "thing.yaml:2:10: density: found a list, expected a density such as 1.24 g/cm3")]
    [InlineData("name: a\ndensity:\n", "thing.yaml:2:9: density: found nothing; give a value or remove the key")]
    [InlineData("name: a\ndensity: 1 g/cm3\nnozzle: [220 degC, 200 degC]\n", "thing.yaml:3:10: nozzle: found '220 degC', expected the lower end first; 220 degC is over 200 degC")]
    [InlineData("name: a\ndensity: 1 g/cm3\nnozzle: [220 degC]\n", "thing.yaml:3:9: nozzle: found a list, expected two ends such as [210 degC, 210 degC]")]
    [InlineData("name: a\ndensity: 1 g/cm3\nshape: rond\n", "thing.yaml:3:8: shape: found 'rond', expected one of round, not-quite-round; did you mean 'round'?")]
    [InlineData("name: a\nname: b\n", "thing.yaml:2:1: key 'name' stands twice, first in line 1; remove one")]
    [InlineData("name: {}\ndensity: 1 g/cm3\n", "thing.yaml:1:7: name: found a map, expected a text")]
    [InlineData("name: a\ndensity: 1 g/cm3\nheater: hot\n", "thing.yaml:3:9: heater: found 'hot', expected a map of keys and values")]
    [InlineData("- name\n", "thing.yaml:1:1: the file: found a list, expected a map of keys and values")]
    [InlineData("", "thing.yaml:1:1: found an empty file, expected keys and values")]
    [InlineData("name: a\n---\nname: b\n", "thing.yaml:2:1: found a second document, expected one; remove the line '---' and what follows")]
    [InlineData("name: &x a\ndensity: *x\n", "thing.yaml:1:7: found an anchor or alias (& or *), which data files do not use; write the value out, or put quotes around the text")]
    public void Every_mistake_is_one_line_with_its_place(string text, string expected) => Assert.Equal(expected, ProblemOf(text));

    [Theory]
    [InlineData("shape: round\n", "thing.yaml:1:1: 2 keys are missing: 'name' (a text), 'density' (a density such as 1.24 g/cm3)")]
    [InlineData("shape: round\nheater: {}\n", "thing.yaml:1:1: 3 keys are missing: 'name' (a text), 'density' (a density such as 1.24 g/cm3); in heater (line 2): 'power' (a power such as 40 W)")]
    [InlineData("desnity: 1 g/cm3\n", "thing.yaml:1:1: 2 keys are missing: 'name' (a text), 'density' (line 1 has 'desnity')")]
    [InlineData("shape: rond\nheater: {power: 1}\ndensity: 1\n", "thing.yaml:1:1: key 'name' is missing, expected a text; and thing.yaml:3:10: density: found '1' without a unit, expected a density such as 1.24 g/cm3")]
    public void All_missing_keys_are_told_at_once_with_the_first_wrong_value(string text, string expected) => Assert.Equal(expected, ProblemOf(text));

    [Fact]
    public void What_a_missing_map_would_need_is_told_with_it() =>
        Assert.Equal(
            "b.yaml:1:1: 4 keys are missing: 'box' (a map of keys and values); in box (line 1): 'name' (a text), 'lid' (a map of keys and values); in box.lid (line 1): 'name' (a text)",
            Assert.Throws<InputProblem>(() => YamlMap.Read(new DataFile("b.yaml", "{}"), static map =>
            {
                var box = map.Map("box");
                return box.Text("name") + box.Map("lid").Text("name");
            })).Message);

    [Fact]
    public void A_wrong_value_in_place_of_a_map_asks_for_nothing_inside_it() =>
        Assert.Equal(
            "b.yaml:1:6: box: found 'wood', expected a map of keys and values",
            Assert.Throws<InputProblem>(() => YamlMap.Read(new DataFile("b.yaml", "box: wood"), static map => map.Map("box").Text("name"))).Message);

    [Fact]
    public void Very_many_missing_keys_are_counted_and_not_all_told()
    {
        var text = "things:\n" + string.Concat(Enumerable.Repeat("- {a: 1}\n", 5000));
        var told = Assert.Throws<InputProblem>(() => YamlMap.Read(new DataFile("b.yaml", text), static map =>
            map.Maps("things").Select(static thing => thing.Text("a") + thing.Text("b")).ToArray())).Message;
        Assert.StartsWith("b.yaml:2:3: 5000 keys are missing: in things (line 2): 'b' (a text); ", told, StringComparison.Ordinal);
        Assert.EndsWith("; and 4960 more", told, StringComparison.Ordinal);
        Assert.InRange(told.Length, 0, 4000);
    }

    [Fact]
    public void Broken_syntax_is_reported_with_its_place() => Assert.StartsWith("thing.yaml:2:", ProblemOf("name: a\n  bad: [1, 2\n"), StringComparison.Ordinal);

    [Fact]
    public void Deep_nesting_is_refused_and_not_followed() =>
        Assert.Contains("nested more than 24 deep", ProblemOf("name: " + new string('[', 400_000)), StringComparison.Ordinal);

    // Nine levels of nine references each: 387 million nodes if they were followed.
    [Fact]
    public void An_alias_bomb_is_refused_at_its_first_anchor()
    {
        var bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n" + string.Concat(Enumerable.Range(1, 9).Select(i =>
            FormattableString.Invariant($"a{i}: &a{i} [{string.Join(", ", Enumerable.Repeat($"*a{i - 1}", 9))}]\n")));

        Assert.StartsWith("thing.yaml:1:5: found an anchor", ProblemOf(bomb), StringComparison.Ordinal);
    }
}
