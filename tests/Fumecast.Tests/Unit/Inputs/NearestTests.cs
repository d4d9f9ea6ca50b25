// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Inputs;

public class NearestTests
{
    [Theory]
    [InlineData("desnity", "density")]
    [InlineData("Density", "density")]
    [InlineData("nozle", "nozzle")]
    [InlineData("heat_capacty", "heat_capacity")]
    [InlineData("colour", null)]
    [InlineData("", null)]
    public void The_known_word_with_fewest_changes_is_offered_when_it_is_close(string word, string? expected) =>
        Assert.Equal(expected, Nearest.To(word, ["density", "nozzle", "heat_capacity"]));

    [Theory]
    [InlineData("q")]
    [InlineData("-q")]
    [InlineData("pq")]
    public void A_word_of_one_or_two_letters_is_near_nothing(string word) => Assert.Null(Nearest.To(word, ["p", "-p", "pp", "pla"]));

    [Fact]
    public void A_hint_lists_all_known_words_when_none_is_close() =>
        Assert.Equal("; known: a, b", Nearest.Hint("unrelated", ["a", "b"]));

    [Fact]
    public void A_very_long_word_costs_nothing() =>
        Assert.Null(Nearest.To(new string('x', 1_000_000), ["density"]));
}
