// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Inputs;

/// <summary>What is no YAML is said in the words of somebody who edits the file, not in those of the parser.</summary>
public class YamlMessages
{
    [Theory]
    [InlineData("a: 1\n\tb: 2\n")]
    [InlineData("a: 'open\nb: 2\n")]
    [InlineData("a: \"open\nb: 2\n")]
    [InlineData("a: \"\\q\"\n")]
    [InlineData("a: [1, 2\nb: 3\n")]
    [InlineData("a: {b: 1, c\nd: 3\n")]
    [InlineData("a: 1\n b: 2\n")]
    [InlineData("a: 1\nno colon here\nb: 2\n")]
    [InlineData("a: b: c\n")]
    [InlineData("a: @x\n")]
    [InlineData("a: !<x\n")]
    [InlineData("a: &\n")]
    [InlineData("a: *\n")]
    [InlineData("- a\nb: 1\n")]
    [InlineData("a:\n  - 1\n - 2\n")]
    [InlineData("a: ]\n")]
    [InlineData("a: |x\n  b\n")]
    public void Speak_of_signs_and_cures(string text)
    {
        var problem = Assert.Throws<InputProblem>(() => YamlNode.Parse("own.yaml", text));
        Assert.Matches(@"^own\.yaml:\d+:\d+: ", problem.Message);
        foreach (var jargon in new[] { "parsing", "scanning", "token", "scalar", "block", "flow ", "node", "mapping", "sequence", "document", "Exception", "did not find" })
        {
            Assert.DoesNotContain(jargon, problem.Message, StringComparison.OrdinalIgnoreCase);
        }
    }

    [Fact]
    public void Name_place_and_cure_of_the_usual_slips()
    {
        Assert.Contains("this is not YAML: found a tab; indent with blanks", Assert.Throws<InputProblem>(() => YamlNode.Parse("own.yaml", "a:\n\tb: 2\n")).Message);
        Assert.Contains("found a second colon in the line; put quotes", Assert.Throws<InputProblem>(() => YamlNode.Parse("own.yaml", "a: b: c\n")).Message);
    }
}
