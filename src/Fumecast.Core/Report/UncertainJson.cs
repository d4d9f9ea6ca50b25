// SPDX-License-Identifier: MIT
using System.Text.Json.Serialization;
using Fumecast.Uncertainty;

namespace Fumecast.Report;

/// <summary>An uncertain number as JSON: <c>{"low":…,"median":…,"high":…}</c>.</summary>
/// <param name="Low">Lower end.</param>
/// <param name="Median">Middle estimate.</param>
/// <param name="High">Upper end.</param>
internal sealed record UncertainJson(
    [property: JsonPropertyName("low")] double Low,
    [property: JsonPropertyName("median")] double Median,
    [property: JsonPropertyName("high")] double High)
{
    /// <summary>The JSON of a number that is always there.</summary>
    public static UncertainJson Of(Uncertain value) => new(value.Low, value.Median, value.High);

    /// <summary>The JSON of a number that may be absent.</summary>
    public static UncertainJson? Of(Uncertain? value) => value is { } present ? Of(present) : null;
}
