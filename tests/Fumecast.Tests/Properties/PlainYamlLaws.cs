// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.Inputs;

namespace Fumecast.Tests.Properties;

/// <summary>What <see cref="PlainYaml"/> reads, it reads as the library does, places included.</summary>
public class PlainYamlLaws
{
    private static readonly string[] Parts =
        ["a", "b", "c1", ": ", ":", "- ", "\n", "\n  ", "\n    ", "\n", " ", "[", "]", "{", "}", ", ", "\"", "#", " # ", "0.5 g", "~", "null", "-1", ">\n", "'", "...", "---"];

    // Signs that mean something in YAML more often than words.
    private static readonly Gen<string> Damage = Gen.Char["\n\n \t  :-?[]{}#&*!|>'\"%@`,.0aµ~_"].Array[0, 6].Select(c => new string(c));

    private static readonly string[] Shipped =
    [
        .. new[] { "materials", "src/Fumecast.Core/Data" }
            .SelectMany(static folder => Directory.EnumerateFiles(Path.Combine(RepositoryRoot.Path, folder), "*.yaml", SearchOption.AllDirectories))
            .Order(StringComparer.Ordinal),
    ];

    public static TheoryData<string> NamesOfShipped => [.. Shipped.Select(static file => Path.GetRelativePath(RepositoryRoot.Path, file))];

    private static string Drawn(YamlNode node)
    {
        var text = new StringBuilder();
        Draw(node);
        return text.ToString();

        void Draw(YamlNode at)
        {
            text.Append(CultureInfo.InvariantCulture, $"\n{at.Line}:{at.Column} {at.IsEmpty} {at.Scalar} {at.Items?.Count} {at.Entries?.Count}");
            at.Items?.ForEach(Draw);
            at.Entries?.ForEach(entry =>
            {
                Draw(entry.Key);
                Draw(entry.Value);
            });
        }
    }

    private static bool IsReadAlike(string text) => PlainYaml.Read(text) is not { } plain || Drawn(plain) == Drawn(YamlNode.ParseAny("x.yaml", text));

    /// <summary>Templates leave values out, and the explanations are blocks of text: those are the library's.</summary>
    [Theory]
    [MemberData(nameof(NamesOfShipped))]
    public void A_shipped_file_is_plain_and_read_alike(string file)
    {
        var text = File.ReadAllText(Path.Combine(RepositoryRoot.Path, file));
        Assert.True(IsReadAlike(text));
        Assert.True(PlainYaml.Read(text) is not null || file.Contains("templates", StringComparison.Ordinal) || file.Contains("explain", StringComparison.Ordinal), "not plain");
    }

    [Fact]
    public void A_damaged_file_is_read_alike_or_left_to_the_library()
    {
        string[] texts = [.. Shipped.Select(File.ReadAllText)];
        Gen.Select(Gen.Int[0, texts.Length - 1].Select(i => texts[i]), Gen.Int[0, 20_000], Gen.Int[0, 12], Damage).Sample(
            (text, at, length, damage) =>
            {
                at %= text.Length + 1;
                return IsReadAlike(text[..at] + damage + text[Math.Min(text.Length, at + length)..]);
            }, iter: 3000, threads: 1);
    }

    [Fact]
    public void A_text_of_signs_is_read_alike_or_left_to_the_library() =>
        Gen.Int[0, Parts.Length - 1].Select(i => Parts[i])
            .Array[1, 24].Select(string.Concat).Sample(IsReadAlike, iter: 40_000, threads: 1);
}
