// SPDX-License-Identifier: MIT
namespace Fumecast.Tests;

/// <summary>Marks a check against a value from outside the project, and names the source beside it.</summary>
/// <param name="source">Author and year, standard, or handbook; or how the value was computed independently.</param>
/// <param name="where">Table, figure, equation or section.</param>
[AttributeUsage(AttributeTargets.Method | AttributeTargets.Class, AllowMultiple = true)]
internal sealed class PublishedAttribute(string source, string where) : Attribute
{
    public string Source { get; } = source;

    public string Where { get; } = where;
}
