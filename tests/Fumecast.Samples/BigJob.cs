// SPDX-License-Identifier: MIT
namespace Fumecast.Samples;

/// <summary>Shapes of big files, each awkward in another way.</summary>
public enum BigJobKind
{
    /// <summary>Wavy perimeters of 1.1 mm pieces and serpentine fill, relative filament: the common shape.</summary>
    Perimeters,

    /// <summary>Scalloped perimeters of arcs.</summary>
    Arcs,

    /// <summary>Perimeters of pieces of 0.1 to 0.2 mm.</summary>
    Tiny,

    /// <summary>As <see cref="Perimeters"/>, with absolute filament and CR LF.</summary>
    AbsoluteCrlf,

    /// <summary>As <see cref="Perimeters"/>, with a comment or mark after each move.</summary>
    Comments,
}

/// <summary>Writes a print of any size as a stream, for the speed script: a plate of equal parts, as many as keep its height below that of a printer.</summary>
public sealed class BigJob
{
    private const double Height = 0.2;
    private const double Width = 0.45;
    private const double Radius = 30;
    private const double Pitch = 80;
    private const double MegabytesPerPart = 25;
    private static readonly double Bead = (Width - Height) * Height + Math.PI * Height * Height / 4;

    private readonly BigJobKind _kind;
    private readonly GCodeText _text;
    private readonly Pen _pen;
    private uint _draw = 20_231;

    private BigJob(Stream output, BigJobKind kind)
    {
        _kind = kind;
        _text = new GCodeText(output, crlf: kind == BigJobKind.AbsoluteCrlf);
        _pen = new Pen(_text, new() { RelativeE = kind != BigJobKind.AbsoluteCrlf, LeadingZero = kind == BigJobKind.AbsoluteCrlf });
    }

    /// <summary>Writes a job of about a size; it is complete, so it ends a layer later than the size is reached.</summary>
    /// <param name="output">Where to; stays open.</param>
    /// <param name="kind">The shape.</param>
    /// <param name="megabytes">Size [MB, of 1 000 000 bytes].</param>
    public static void Write(Stream output, BigJobKind kind, double megabytes)
    {
        var job = new BigJob(output, kind);
        job.StartBlock();
        job.Layers(megabytes);
        job.EndBlock();
        job._text.Flush();
    }

    private void StartBlock()
    {
        foreach (var line in (string[])[
            "; made for the speed script, not for printing", "; material pla", "; filament diameter 1.75 mm", "; density 1.24 g/cm3", "; layer height 0.2 mm",
            "G21", "G90", _kind == BigJobKind.AbsoluteCrlf ? "M82" : "M83", "M140 S60", "M104 S215", "G28", "M190 S60", "M109 S215", "G92 E0", "M106 S255"])
        {
            _text.Line(line);
        }
    }

    private void EndBlock()
    {
        _pen.Retract();
        _text.Line("M107").Line("M104 S0").Line("M140 S0").Line("M84");
        _text.Text("; uses ").Number(_pen.DepositedMm, 2).Text(" mm").End();
    }

    private void Layers(double megabytes)
    {
        var parts = Math.Max(1, (int)Math.Ceiling(megabytes / MegabytesPerPart));
        var columns = (int)Math.Ceiling(Math.Sqrt(parts));
        for (var layer = 0; _text.Bytes < megabytes * 1e6; layer++)
        {
            _text.Text("; layer ").Number(layer + 1, 0).End();
            if (layer == 1)
            {
                _text.Line("M104 S205");
            }

            if (_kind == BigJobKind.AbsoluteCrlf)
            {
                _pen.ResetE();
            }

            _pen.ToHeight(Height * (layer + 1));
            for (var part = 0; part < parts; part++)
            {
                // To and fro over the plate, so that no travel is long.
                var row = part / columns;
                var column = row % 2 == 0 ? part % columns : columns - 1 - part % columns;
                Part(new Spot(40 + Pitch * column, 40 + Pitch * row), layer);
            }
        }
    }

    private void Part(Spot centre, int layer)
    {
        _text.Line("M204 P800");
        for (var loop = 2; loop >= 0; loop--)
        {
            _text.Line(loop == 0 ? "; outermost loop" : "; inner loop");
            var speed = loop == 0 ? 40 : 60;
            if (_kind == BigJobKind.Arcs)
            {
                Scallops(centre, Radius - loop * Width, layer, speed);
            }
            else
            {
                Wave(centre, Radius - loop * Width, layer, speed);
            }
        }

        _text.Line("M204 P1500").Line("; fill");
        Fill(centre, layer);
    }

    private void Wave(Spot centre, double radius, int layer, double speed)
    {
        var piece = _kind == BigJobKind.Tiny ? 0.15 : 1.1;
        var count = (int)Math.Round(2 * Math.PI * radius / piece);
        var phase = layer * 0.05;
        var first = WavePoint(centre, radius, phase, 0);
        _pen.Travel(first.X, first.Y);
        for (var i = 1; i <= count; i++)
        {
            // Tiny pieces differ in length by a third either way.
            var jitter = _kind == BigJobKind.Tiny && i < count ? (Draw() - 0.5) * 0.66 : 0;
            var spot = WavePoint(centre, radius, phase, 2 * Math.PI * (i + jitter) / count);
            Line(spot.X, spot.Y, speed);
        }
    }

    private static Spot WavePoint(Spot centre, double radius, double phase, double angle) =>
        Ring.At(centre, radius + 1.2 * Math.Sin(7 * angle + phase), angle);

    private void Scallops(Spot centre, double radius, int layer, double speed)
    {
        const int Count = 36;
        var phase = layer * 0.05;
        var from = Ring.At(centre, radius, phase);
        _pen.Travel(from.X, from.Y);
        for (var i = 1; i <= Count; i++)
        {
            var to = Ring.At(centre, radius, phase + 2 * Math.PI * i / Count);
            var clockwise = i % 2 == 0;
            // The centre of a minor arc lies to the left of its chord when it turns anticlockwise, else to the right.
            var (dx, dy) = (to.X - _pen.X, to.Y - _pen.Y);
            var chord = Math.Sqrt(dx * dx + dy * dy);
            const double RadiusOverChord = 0.7;
            var aside = Math.Sqrt(RadiusOverChord * RadiusOverChord - 0.25) * (clockwise ? -1 : 1);
            var arcCentre = new Spot(_pen.X + dx / 2 - dy * aside, _pen.Y + dy / 2 + dx * aside);
            _pen.Arc(to.X, to.Y, arcCentre.X, arcCentre.Y, clockwise, Bead, speed);
        }
    }

    private void Fill(Spot centre, int layer)
    {
        const double Inside = Radius - 3;
        var pitch = _kind == BigJobKind.Arcs ? 4 : 1.4;
        var lines = (int)(2 * Inside / pitch);
        var (cos, sin) = layer % 2 == 0 ? (Math.Sqrt(0.5), Math.Sqrt(0.5)) : (Math.Sqrt(0.5), -Math.Sqrt(0.5));
        for (var line = 0; line < lines; line++)
        {
            var v = -Inside + (line + 0.5) * 2 * Inside / lines;
            var half = Math.Sqrt(Inside * Inside - v * v) * (line % 2 == 0 ? 1 : -1);
            var (fromX, fromY) = (centre.X - half * cos - v * sin, centre.Y - half * sin + v * cos);
            if (line == 0)
            {
                _pen.Travel(fromX, fromY);
            }
            else
            {
                Line(fromX, fromY, 80);
            }

            Line(centre.X + half * cos - v * sin, centre.Y + half * sin + v * cos, 80);
        }
    }

    private void Line(double x, double y, double speed)
    {
        _pen.Line(x, y, Bead, speed);
        if (_kind == BigJobKind.Comments)
        {
            Comment();
        }
    }

    private void Comment()
    {
        switch ((int)(Draw() * 8))
        {
            case 0:
                _text.Line(";WIDTH:0.45");
                break;
            case 1:
                _text.Line(";HEIGHT:0.2");
                break;
            case 2:
                _text.Line("; the wall curves here, so keep the pace – G1 X1 E1 is no command in a comment");
                break;
            case 3:
                _text.Text(";TIME_ELAPSED:").Number(_pen.NaiveTimeS, 1).End();
                break;
            case 4:
                _text.Line(";");
                break;
            case 5:
                _text.Line("; edge, inner loop");
                break;
            default:
                _text.Text("; bead no. ").Number(_text.Bytes / 50, 0).Text(" of this plate").End();
                break;
        }
    }

    /// <summary>The next draw of a linear congruential generator, 0 to below 1; equal on every machine. Constants: Numerical Recipes (from memory).</summary>
    private double Draw()
    {
        _draw = unchecked(_draw * 1_664_525 + 1_013_904_223);
        return (_draw >> 8) / (double)(1 << 24);
    }
}
