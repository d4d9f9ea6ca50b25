// SPDX-License-Identifier: MIT
using ScottPlot;

namespace Fumecast.Pictures;

/// <summary>Our colours. They differ in lightness as well as in hue, so that they are told apart without colour vision and in print.</summary>
internal static class Palette
{
    public static Color Ink { get; } = Color.FromHex("#20262E");
    public static Color Faint { get; } = Color.FromHex("#66707C");
    public static Color Rule { get; } = Color.FromHex("#DDE1E6");
    public static Color Paper { get; } = Color.FromHex("#FFFFFF");
    public static Color Shade { get; } = Color.FromHex("#F3F0E9");

    public static Color Flow { get; } = Color.FromHex("#12719E");
    public static Color Heat { get; } = Color.FromHex("#C4561A");
    public static Color Particles { get; } = Color.FromHex("#4A2F7F");
    public static Color Vapours { get; } = Color.FromHex("#3F8F6B");

    /// <summary>The colour of a zone of air: the one that people breathe is the first, then the boxes and rooms around it.</summary>
    public static Color Zone(int at) => (at % 6) switch
    {
        0 => Flow,
        1 => Heat,
        2 => Particles,
        3 => Vapours,
        4 => Color.FromHex("#8A7A12"),
        _ => Faint,
    };

    /// <summary>The colour for a grade or a rank: the best is the darkest.</summary>
    public static Color Grade(int grade) => grade switch
    {
        0 => Flow,
        1 => Color.FromHex("#5393B8"),
        _ => Color.FromHex("#C06A20"),
    };
}
