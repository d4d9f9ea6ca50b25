// SPDX-License-Identifier: MIT
namespace Fumecast.Samples;

/// <summary>How a layer is drawn.</summary>
public sealed record LayerStyle
{
    /// <summary>Height of the layer [mm].</summary>
    public required double HeightMm { get; init; }

    /// <summary>Width of a bead [mm].</summary>
    public required double WidthMm { get; init; }

    /// <summary>Speed of the outer loop [mm/s].</summary>
    public required double OuterMmPerS { get; init; }

    /// <summary>Speed of inner loops [mm/s].</summary>
    public required double InnerMmPerS { get; init; }

    /// <summary>Speed of the fill [mm/s].</summary>
    public required double FillMmPerS { get; init; }

    /// <summary>Share of the inside that is filled, over 0 to 1 [-].</summary>
    public required double FillShare { get; init; }

    /// <summary>Direction of the fill's lines [rad].</summary>
    public required double FillAngle { get; init; }

    /// <summary>Loops along each edge [-].</summary>
    public int Loops { get; init; } = 2;

    /// <summary>Cross-section of a bead: a rectangle with half-round sides [mm2]. Source: gcode reference, bead cross-section.</summary>
    public double BeadMm2 => (WidthMm - HeightMm) * HeightMm + Math.PI * HeightMm * HeightMm / 4;
}

/// <summary>Draws one layer of a region: loops along its edges from the inside out, then a serpentine fill.</summary>
public static class LayerPainter
{
    /// <summary>Draws a layer.</summary>
    public static void Paint(Pen pen, GCodeText text, IRegion region, LayerStyle style)
    {
        for (var loop = style.Loops - 1; loop >= 0; loop--)
        {
            text.Line(loop == 0 ? "; edge seen from outside" : "; edge, inner loop");
            foreach (var outline in region.Outlines((loop + 0.5) * style.WidthMm))
            {
                Loop(pen, outline, style.BeadMm2, loop == 0 ? style.OuterMmPerS : style.InnerMmPerS);
            }
        }

        text.Line(style.FillShare >= 1 ? "; closed fill" : "; open fill");
        Fill(pen, [.. region.Outlines((style.Loops + 0.35) * style.WidthMm)], style);
    }

    /// <summary>Draws a closed loop, starting at the point nearest to the pen.</summary>
    public static void Loop(Pen pen, Spot[] outline, double beadMm2, double speedMmPerS)
    {
        var start = 0;
        for (var i = 1; i < outline.Length; i++)
        {
            if (Distance(pen, outline[i]) < Distance(pen, outline[start]))
            {
                start = i;
            }
        }

        pen.Travel(outline[start].X, outline[start].Y);
        for (var i = 1; i <= outline.Length; i++)
        {
            var spot = outline[(start + i) % outline.Length];
            pen.Line(spot.X, spot.Y, beadMm2, speedMmPerS);
        }
    }

    private static void Fill(Pen pen, Spot[][] outlines, LayerStyle style)
    {
        var pitch = style.WidthMm / style.FillShare;
        var (cos, sin) = (Math.Cos(style.FillAngle), Math.Sin(style.FillAngle));
        // In turned coordinates (u along the lines, v across) the fill is a set of horizontal scan lines.
        var turned = outlines.Select(outline => outline.Select(s => new Spot(s.X * cos + s.Y * sin, s.Y * cos - s.X * sin)).ToArray()).ToArray();
        var low = turned.Min(outline => outline.Min(s => s.Y));
        var high = turned.Max(outline => outline.Max(s => s.Y));
        var lines = (int)Math.Floor((high - low) / pitch);
        var crossings = new List<double>();
        for (var line = 0; line < lines; line++)
        {
            var v = low + (line + 0.5) * (high - low) / lines;
            crossings.Clear();
            foreach (var outline in turned)
            {
                for (var i = 0; i < outline.Length; i++)
                {
                    var (a, b) = (outline[i], outline[(i + 1) % outline.Length]);
                    if (a.Y <= v != b.Y <= v)
                    {
                        crossings.Add(a.X + (v - a.Y) / (b.Y - a.Y) * (b.X - a.X));
                    }
                }
            }

            crossings.Sort();
            if (line % 2 == 1)
            {
                crossings.Reverse();
            }

            for (var i = 0; i + 1 < crossings.Count; i += 2)
            {
                var (from, to) = (crossings[i], crossings[i + 1]);
                if (Math.Abs(to - from) < 0.3)
                {
                    continue;
                }

                pen.Travel(from * cos - v * sin, from * sin + v * cos);
                pen.Line(to * cos - v * sin, to * sin + v * cos, style.BeadMm2, style.FillMmPerS);
            }
        }
    }

    private static double Distance(Pen pen, Spot spot) => Math.Sqrt((spot.X - pen.X) * (spot.X - pen.X) + (spot.Y - pen.Y) * (spot.Y - pen.Y));
}
