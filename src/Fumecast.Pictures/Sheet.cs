// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Report;
using ScottPlot;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>A page to draw on, which becomes an SVG or a PNG.</summary>
/// <param name="canvas">The canvas of one page.</param>
/// <param name="width">Width [px].</param>
/// <param name="height">Height [px].</param>
internal sealed class Sheet(SKCanvas canvas, int width, int height)
{
    private const int PngScale = 2;

    /// <summary>Width [px].</summary>
    public int Width => width;

    /// <summary>Height [px].</summary>
    public int Height => height;

    /// <summary>Draws a page and writes it.</summary>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="format">The form.</param>
    /// <param name="width">Width [px].</param>
    /// <param name="height">Height [px].</param>
    /// <param name="draw">Draws the page.</param>
    public static void Write(Stream output, PictureFormat format, int width, int height, Action<Sheet> draw)
    {
        DrawingLibrary.Require();
        PictureFont.Register();
        if (format == PictureFormat.Png)
        {
            using var surface = SKSurface.Create(new SKImageInfo(width * PngScale, height * PngScale, SKColorType.Rgba8888, SKAlphaType.Premul));
            surface.Canvas.Scale(PngScale);
            draw(new Sheet(surface.Canvas, width, height).Cleared());
            using var image = surface.Snapshot();
            using var data = image.Encode(SKEncodedImageFormat.Png, 100);
            data.SaveTo(output);
            return;
        }

        using var svg = new MemoryStream();
        using (var page = SKSvgCanvas.Create(SKRect.Create(width, height), svg))
        {
            draw(new Sheet(page, width, height).Cleared());
        }

        svg.Position = 0;
        SvgOutlines.Convert(svg, output, width, height);
    }

    /// <summary>Renders a plot into a part of the page.</summary>
    public void Draw(Plot plot, float left, float right, float top, float bottom)
    {
        // The plotting library clears the whole canvas, so that it must be held to its part.
        var place = new PixelRect(left, right, bottom, top);
        using (var nowhere = new SKNoDrawCanvas(width, height))
        {
            // It draws a new plot twice, one over the other: pale bands came out darker, and files twice as large.
            plot.Render(nowhere, place);
        }

        canvas.Save();
        canvas.ClipRect(new SKRect(left, top, right, bottom));
        plot.Render(canvas, place);
        canvas.Restore();
    }

    /// <summary>Draws a line of text.</summary>
    /// <param name="text">The text; what would steer a reader or break the file is shown by its number.</param>
    /// <param name="x">Where it starts, ends or is centred [px].</param>
    /// <param name="baseline">Its baseline [px].</param>
    /// <param name="size">Its size [px].</param>
    /// <param name="colour">Its colour.</param>
    /// <param name="bold">Whether it is bold.</param>
    /// <param name="align">What <paramref name="x"/> is.</param>
    public void Text(string text, float x, float baseline, float size, Color colour, bool bold = false, SKTextAlign align = SKTextAlign.Left)
    {
        using var font = PictureFont.Of(size, bold);
        using var paint = new SKPaint { Color = colour.ToSKColor(), IsAntialias = true };
        canvas.DrawText(TextPage.Clean(text), x, baseline, align, font, paint);
    }

    /// <summary>Width of a line of text [px].</summary>
    public static float Measure(string text, float size, bool bold = false)
    {
        using var font = PictureFont.Of(size, bold);
        return font.MeasureText(TextPage.Clean(text));
    }

    /// <summary>Shortens a text in its middle until it fits; letters and the numbers of signs that steer stay whole.</summary>
    public static string Fit(string text, float maxWidth, float size, bool bold = false)
    {
        var letters = new List<string>();
        for (var parts = StringInfo.GetTextElementEnumerator(text); parts.MoveNext();)
        {
            letters.Add(TextPage.Clean(parts.GetTextElement()));
        }

        var shown = string.Concat(letters);
        for (var keep = letters.Count - 1; keep > 2 && Measure(shown, size, bold) > maxWidth; keep--)
        {
            shown = string.Concat([.. letters[..((keep + 1) / 2)], "…", .. letters[^(keep / 2)..]]);
        }

        return shown;
    }

    /// <summary>Fills a rectangle.</summary>
    public void Fill(float left, float right, float top, float bottom, Color colour)
    {
        using var paint = new SKPaint { Color = colour.ToSKColor(), IsAntialias = true };
        canvas.DrawRect(SKRect.Create(left, top, right - left, bottom - top), paint);
    }

    private Sheet Cleared()
    {
        Fill(0, width, 0, height, Palette.Paper);
        return this;
    }
}
