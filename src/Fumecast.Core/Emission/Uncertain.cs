// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>A number with its interval: median and the two ends, at the coverage the result states.</summary>
/// <param name="Low">Lower end, in the unit of the quantity.</param>
/// <param name="Median">The middle estimate, in the unit of the quantity.</param>
/// <param name="High">Upper end, in the unit of the quantity.</param>
public readonly record struct Uncertain(double Low, double Median, double High);
