// SPDX-License-Identifier: MIT
using System.Reflection;

namespace Fumecast.Tests.Published;

/// <summary>DEVELOPERS.md lists every check against the outside world. <c>UPDATE_GOLDEN=1</c> rewrites the list.</summary>
public class TableOfChecksTests
{
    [Fact]
    public void DEVELOPERS_lists_every_published_check() =>
        MarkedText.IsOrBecomes(
            "DEVELOPERS.md", "published checks", "\n| Source | Where | Test |\n| --- | --- | --- |\n" + string.Join('\n', Rows()) + "\n");

    [Fact]
    public void Every_check_names_a_source_and_a_place() =>
        Assert.All(Checks(), check => Assert.False(string.IsNullOrWhiteSpace(check.Source) || string.IsNullOrWhiteSpace(check.Where), check.Test));

    private static IEnumerable<string> Rows() =>
        Checks()
            .GroupBy(check => (check.Source, check.Where))
            .OrderBy(group => group.Key.Source, StringComparer.Ordinal).ThenBy(group => group.Key.Where, StringComparer.Ordinal)
            .Select(group => $"| {group.Key.Source} | {group.Key.Where} | {string.Join(", ", group.Select(check => $"`{check.Test}`").Distinct().Order(StringComparer.Ordinal))} |");

    private static List<(string Source, string Where, string Test)> Checks()
    {
        const BindingFlags All = BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;
        var checks = new List<(string, string, string)>();
        foreach (var type in typeof(TableOfChecksTests).Assembly.GetTypes())
        {
            checks.AddRange(type.GetCustomAttributes<PublishedAttribute>(false).Select(a => (a.Source, a.Where, type.Name)));
            checks.AddRange(type.GetMethods(All).SelectMany(m => m.GetCustomAttributes<PublishedAttribute>(false), (m, a) => (a.Source, a.Where, type.Name)));
        }

        return checks;
    }
}
