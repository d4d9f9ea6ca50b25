// SPDX-License-Identifier: MIT
using ScottPlot;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>The typeface that comes with the program; no other is ever used, whatever the machine has.</summary>
internal static class PictureFont
{
    /// <summary>Its family name.</summary>
    public const string Family = "Noto Sans";

    private static readonly Lazy<SKTypeface> LazyRegular = new(() => Load("NotoSans-Regular.ttf"));
    private static readonly Lazy<SKTypeface> LazyBold = new(() => Load("NotoSans-Bold.ttf"));
    private static readonly Lazy<bool> Registered = new(() =>
    {
        ScottPlot.Fonts.FontResolvers.Insert(0, new Resolver());
        ScottPlot.Fonts.Default = Family;
        return true;
    });

    /// <summary>Makes the plotting library use it; cheap after the first call.</summary>
    public static void Register() => _ = Registered.Value;

    /// <summary>The typeface.</summary>
    /// <param name="bold">Whether the bold cut is wanted.</param>
    public static SKTypeface Face(bool bold) => bold ? LazyBold.Value : LazyRegular.Value;

    /// <summary>The font at a size, set up to come out the same everywhere.</summary>
    /// <param name="size">Size [px].</param>
    /// <param name="bold">Whether the bold cut is wanted.</param>
    public static SKFont Of(float size, bool bold = false) =>
        new(Face(bold), size) { Hinting = SKFontHinting.None, Subpixel = true, Edging = SKFontEdging.Antialias };

    private static SKTypeface Load(string name)
    {
        using var stream = typeof(PictureFont).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"the font {name} is missing from the program");
        using var data = SKData.Create(stream);
        return SKTypeface.FromData(data) ?? throw new InvalidOperationException($"the font {name} cannot be read");
    }

    private sealed class Resolver : IFontResolver
    {
        public SKTypeface? CreateTypeface(string fontName, FontWeight weight, FontSlant slant, FontSpacing spacing) =>
            Face(weight >= FontWeight.SemiBold);

        [Obsolete("Part of the interface.")]
        public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) => Face(bold);
    }
}
