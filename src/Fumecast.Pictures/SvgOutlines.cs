// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Xml;
using System.Xml.Linq;

namespace Fumecast.Pictures;

/// <summary>Turns the text of an SVG into outlines of our own typeface: a viewer then needs no font, and shows what we saw.</summary>
/// <remarks>The words stay in the file as labels for screen readers.</remarks>
internal static class SvgOutlines
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    private static readonly XNamespace Link = "http://www.w3.org/1999/xlink";

    /// <summary>Size at which the shape of a letter is written down [px]; whole numbers are fine enough for it.</summary>
    private const float ShapeSize = 1000;

    /// <summary>Reads an SVG of the drawing library and writes it with outlines.</summary>
    /// <param name="input">The SVG.</param>
    /// <param name="output">Where to write; it is not closed.</param>
    /// <param name="width">Width [px].</param>
    /// <param name="height">Height [px].</param>
    public static void Convert(Stream input, Stream output, int width, int height)
    {
        var document = XDocument.Load(input);
        var root = document.Root!;
        root.SetAttributeValue("viewBox", string.Create(CultureInfo.InvariantCulture, $"0 0 {width} {height}"));
        foreach (var path in root.Descendants(Svg + "path"))
        {
            path.SetAttributeValue("d", Shortened((string?)path.Attribute("d") ?? "", decimals: 2));
        }

        DropClearing(root);
        NumberClips(root);
        var shapes = new XElement(Svg + "defs");
        var known = new HashSet<string>();
        foreach (var text in root.Descendants(Svg + "text").ToList())
        {
            text.ReplaceWith(Outline(text, shapes, known));
        }

        root.AddFirst(shapes);
        using var writer = XmlWriter.Create(output, new XmlWriterSettings { Encoding = new UTF8Encoding(false), Indent = true, IndentChars = "", NewLineChars = "\n" });
        document.Save(writer);
    }

    /// <summary>The drawing library blackens each part before it whitens it: enlarged by anything but a whole factor, the black would show at the edges.</summary>
    private static void DropClearing(XElement root) =>
        root.Descendants(Svg + "rect").Where(rect => rect.Parent!.Name != Svg + "clipPath" && rect.Attribute("fill") is null).Remove();

    /// <summary>The drawing library numbers its clips through the life of the process; a picture counts its own.</summary>
    private static void NumberClips(XElement root)
    {
        var names = new Dictionary<string, string>();
        foreach (var clip in root.Descendants(Svg + "clipPath"))
        {
            if (clip.Attribute("id") is { } id)
            {
                names[$"url(#{id.Value})"] = string.Create(CultureInfo.InvariantCulture, $"clip{names.Count}");
                id.Value = names[$"url(#{id.Value})"];
            }
        }

        foreach (var element in root.Descendants())
        {
            if (element.Attribute("clip-path") is { } use && names.TryGetValue(use.Value, out var name))
            {
                use.Value = $"url(#{name})";
            }
        }
    }

    /// <summary>Each letter's shape is written once and used wherever the letter stands.</summary>
    private static XElement Outline(XElement text, XElement shapes, HashSet<string> known)
    {
        var size = Numbers(text, "font-size") is [var first, ..] ? first : 12;
        var bold = (string?)text.Attribute("font-weight") is "bold" or "600" or "700" or "800" or "900";
        using var font = PictureFont.Of(ShapeSize, bold);
        var words = text.Value.Trim(); // The drawing library lays out its file with line ends and tabs around the words.
        var glyphs = font.GetGlyphs(words);
        var advances = font.GetGlyphWidths(words);
        var xs = Numbers(text, "x");
        var ys = Numbers(text, "y");
        var scale = size / ShapeSize;
        var group = new XElement(Svg + "g", new XAttribute("role", "img"), new XAttribute("aria-label", words));
        foreach (var name in new[] { "fill", "fill-opacity", "transform", "clip-path" })
        {
            if (text.Attribute(name) is { } attribute)
            {
                group.SetAttributeValue(name, attribute.Value);
            }
        }

        var x = 0f;
        var y = 0f;
        for (var i = 0; i < glyphs.Length; i++)
        {
            x = i < xs.Length ? xs[i] : x;
            y = i < ys.Length ? ys[i] : y;
            var id = string.Create(CultureInfo.InvariantCulture, $"{(bold ? 'b' : 'r')}{glyphs[i]}");
            using var shape = font.GetGlyphPath(glyphs[i]);
            if (shape is { IsEmpty: false })
            {
                if (known.Add(id))
                {
                    shapes.Add(new XElement(Svg + "path", new XAttribute("id", id), new XAttribute("d", Shortened(shape.ToSvgPathData(), decimals: 0))));
                }

                group.Add(new XElement(
                    Svg + "use", new XAttribute(Link + "href", "#" + id),
                    new XAttribute("transform", string.Create(CultureInfo.InvariantCulture, $"translate({x:0.##} {y:0.##}) scale({scale:0.#####})"))));
            }

            x += advances[i] * scale;
        }

        return group;
    }

    /// <summary>Path data with fewer decimals: half the size, and free of last digits that vary.</summary>
    private static string Shortened(string data, int decimals)
    {
        var shorter = new StringBuilder(data.Length);
        for (var i = 0; i < data.Length;)
        {
            var end = i;
            while (end < data.Length && (char.IsAsciiDigit(data[end]) || data[end] is '.' or '-' or '+' or 'e'))
            {
                end++;
            }

            if (end == i)
            {
                shorter.Append(data[i++]);
                continue;
            }

            var number = Math.Round(double.Parse(data.AsSpan(i, end - i), NumberStyles.Float, CultureInfo.InvariantCulture), decimals);
            shorter.Append((number == 0 ? 0 : number).ToString("0.##", CultureInfo.InvariantCulture));
            i = end;
        }

        return shorter.ToString();
    }

    private static float[] Numbers(XElement element, string attribute)
    {
        var text = (string?)element.Attribute(attribute);
        if (text is null)
        {
            return [];
        }

        var parts = text.Split([',', ' '], StringSplitOptions.RemoveEmptyEntries);
        var numbers = new float[parts.Length];
        for (var i = 0; i < parts.Length; i++)
        {
            numbers[i] = float.Parse(parts[i].AsSpan().TrimEnd("px"), NumberStyles.Float, CultureInfo.InvariantCulture);
        }

        return numbers;
    }
}
