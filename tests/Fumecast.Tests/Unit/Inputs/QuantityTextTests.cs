// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Inputs;

public class QuantityTextTests
{
    private static readonly Dictionary<string, Quantity> Kinds = new()
    {
        ["time"] = Quantity.Time,
        ["length"] = Quantity.Length,
        ["speed"] = Quantity.Speed,
        ["acceleration"] = Quantity.Acceleration,
        ["flow"] = Quantity.Flow,
        ["density"] = Quantity.Density,
        ["temperature"] = Quantity.Temperature,
        ["step"] = Quantity.TemperatureStep,
        ["per kelvin"] = Quantity.PerKelvin,
        ["per hour"] = Quantity.RatePerH,
        ["mass"] = Quantity.Mass,
        ["number yield"] = Quantity.NumberYield,
        ["mass yield"] = Quantity.MassYield,
        ["specific heat"] = Quantity.SpecificHeat,
        ["filament heat"] = Quantity.FilamentHeat,
        ["share"] = Quantity.Share,
        ["number"] = Quantity.Number,
        ["particle"] = Quantity.ParticleDiameter,
    };

    // Expected values are exact: conversion by whole numbers rounds once, as the compiler does for the literal.
    [Theory]
    [InlineData("10s", "time", 10)]
    [InlineData(" 10 s ", "time", 10)]
    [InlineData("6h", "time", 21600)]
    [InlineData("30m", "time", 1800)]
    [InlineData("6.8 min", "time", 408)]
    [InlineData("1h30m", "time", 5400)]
    [InlineData("1 d 2 h 3 min 4 s", "time", 93784)]
    [InlineData("2e2 ms", "time", 0.2)]
    [InlineData("1.75 mm", "length", 1.75)]
    [InlineData("1 in", "length", 25.4)]
    [InlineData("30 um", "length", 0.03)]
    [InlineData("30 µm", "length", 0.03)]
    [InlineData("2 m", "length", 2000)]
    [InlineData("4 mm3/s", "flow", 4)]
    [InlineData("4mm^3/s", "flow", 4)]
    [InlineData("4 mm³/s", "flow", 4)]
    [InlineData("3000 mm/min", "speed", 50)]
    [InlineData("1.5 m/s^2", "acceleration", 1500)]
    [InlineData("1.24 g/cm3", "density", 1.24)]
    [InlineData("1240 kg/m3", "density", 1.24)]
    [InlineData("210 degC", "temperature", 210)]
    [InlineData("210°C", "temperature", 210)]
    [InlineData("-10 K", "step", -10)]
    [InlineData("6.6 %/K", "per kelvin", 0.066)]
    [InlineData("0.044 1/K", "per kelvin", 0.044)]
    [InlineData("2 1/min", "per hour", 120)]
    [InlineData("1 kg", "mass", 1000)]
    [InlineData("250 ug", "mass", 0.00025)]
    [InlineData("3e9 1/g", "number yield", 3e9)]
    [InlineData("50 ug/g", "mass yield", 50)]
    [InlineData("1.8 J/(g K)", "specific heat", 1.8)]
    [InlineData("1800 J/kg/K", "specific heat", 1.8)]
    [InlineData("1800 J/(kg K)", "specific heat", 1.8)]
    [InlineData("0.0056 J/K/mm", "filament heat", 0.0056)]
    [InlineData("60%", "share", 0.6)]
    [InlineData("0.2", "share", 0.2)]
    [InlineData("-1.5E+3", "number", -1500)]
    [InlineData(".5", "number", 0.5)]
    [InlineData("0.1 um", "particle", 100)]
    public void Numbers_with_units_become_held_values_exactly(string text, string kind, double expected)
    {
        Assert.True(QuantityText.TryParse(text, Kinds[kind], null, out var value, out var problem), problem);
        Assert.Equal(expected, value);
    }

    [Theory]
    [InlineData("", "time", "found nothing, expected a time such as 10 s")]
    [InlineData("10", "time", "found '10' without a unit, expected a time such as 10 s")]
    [InlineData("10 mm", "time", "found '10 mm' ('mm' belongs to a length), expected a time in s, ms, min, m, h, d, such as 10 s")]
    [InlineData("soon", "time", "found 'soon', expected a time such as 10 s")]
    [InlineData("1,24 g/cm3", "density", "found '1,24 g/cm3', expected a density such as 1.24 g/cm3; write numbers with a decimal point and no other separators")]
    [InlineData("5 degC", "step", "found '5 degC', expected a temperature difference such as 5 K; degC is for readings, K for differences")]
    [InlineData("210 K", "temperature", "found '210 K' ('K' belongs to a temperature difference), expected a temperature in degC, C, such as 210 degC")]
    [InlineData("NaN s", "time", "found 'NaN s', expected a time such as 10 s")]
    [InlineData("1e999 s", "time", "found '1e999 s', which is too large to be a time")]
    [InlineData("4 h 5", "time", "found '4 h 5' without a unit, expected a time such as 10 s")]
    [InlineData("1.2.3 s", "time", "found '1.2.3 s', expected a time such as 10 s")]
    [InlineData("3 mm", "number", "found '3 mm' ('mm' belongs to a length), expected a plain number such as 1.5, without a unit")]
    [InlineData("١٠ s", "time", "found '١٠ s', expected a time such as 10 s")]
    public void Anything_else_is_refused_in_one_line(string text, string kind, string expected)
    {
        Assert.False(QuantityText.TryParse(text, Kinds[kind], null, out _, out var problem));
        Assert.Equal(expected, problem);
    }

    [Fact]
    public void A_bare_number_takes_the_unit_the_caller_names()
    {
        Assert.Equal(600, QuantityText.Parse("10", Quantity.Time, "min", "--bin"));
        Assert.Equal("--bin: found 'x', expected a time such as 10 s",
            Assert.Throws<InputProblem>(() => QuantityText.Parse("x", Quantity.Time, "min", "--bin")).Message);
    }

    [Fact]
    public void Every_example_in_a_message_is_itself_accepted()
    {
        foreach (var kind in Kinds.Values)
        {
            foreach (var example in kind.Example.Split(" or "))
            {
                Assert.True(QuantityText.TryParse(example, kind, null, out _, out var problem), problem);
            }
        }
    }
}
