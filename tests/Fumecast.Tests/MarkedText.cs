// SPDX-License-Identifier: MIT
namespace Fumecast.Tests;

/// <summary>A part of a page between two marks that is made from the code. <c>UPDATE_GOLDEN=1</c> rewrites it.</summary>
internal static class MarkedText
{
    /// <summary>Checks, or rewrites, what stands between <c>&lt;!-- name: begin --&gt;</c> and <c>&lt;!-- name: end --&gt;</c>.</summary>
    public static void IsOrBecomes(string page, string name, string expected)
    {
        var file = RepositoryRoot.Of(page);
        var text = File.ReadAllText(file);
        var mark = $"<!-- {name}: begin -->";
        var begin = text.IndexOf(mark, StringComparison.Ordinal) + mark.Length;
        var end = text.IndexOf($"<!-- {name}: end -->", StringComparison.Ordinal);
        Assert.True(begin >= mark.Length && end > begin, $"{page} has lost the marks around '{name}'");
        if (Environment.GetEnvironmentVariable("UPDATE_GOLDEN") == "1")
        {
            File.WriteAllText(file, string.Concat(text.AsSpan(0, begin), expected, text.AsSpan(end)));
            return;
        }

        Assert.Equal(expected, text[begin..end]);
    }
}
