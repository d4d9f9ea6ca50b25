// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>The body of a small job of our own: the square wall of a pen cup, written in the manner of one kind of generator.</summary>
internal sealed record Wall
{
    public int Layers { get; init; } = 4;

    public double SideMm { get; init; } = 20;

    public double LayerMm { get; init; } = 0.2;

    /// <summary>Filament per path, in whatever unit the file's E has.</summary>
    public double EPerMm { get; init; } = 0.0332;

    public bool Relative { get; init; }

    public bool ResetsAtLayers { get; init; }

    public double RetractE { get; init; } = 0.8;

    public char Axis { get; init; } = 'E';

    public string Between { get; init; } = " ";

    /// <summary>Lines before each layer, given its number and height.</summary>
    public Func<int, double, string> Mark { get; init; } = static (_, _) => "";

    /// <summary>A line before each printed side.</summary>
    public string BeforeSide { get; init; } = "";

    /// <summary>A line after each printed side's own; such as the end of motor feed.</summary>
    public string AfterSide { get; init; } = "";

    /// <summary>Whether Z rises along the sides, as in a spiral.</summary>
    public bool Spiral { get; init; }

    public string Text()
    {
        var text = new StringBuilder();
        var e = 0.0;
        for (var layer = 0; layer < Layers; layer++)
        {
            var z = (layer + 1) * LayerMm;
            text.Append(Mark(layer, z));
            if (ResetsAtLayers)
            {
                Line(text, "G92", (Axis, 0));
                e = 0;
            }

            if (!Spiral || layer == 0)
            {
                Line(text, "G1", ('Z', z), ('F', 600));
                Line(text, "G1", ('X', 100), ('Y', 100), ('F', 9000));
                e = layer == 0 || RetractE == 0 ? e : Feed(text, e, RetractE, 2400);
            }

            double[] xs = [100 + SideMm, 100 + SideMm, 100, 100];
            double[] ys = [100, 100 + SideMm, 100 + SideMm, 100];
            for (var side = 0; side < 4; side++)
            {
                text.Append(BeforeSide);
                var feed = Math.Round(SideMm * EPerMm, 5);
                e += feed;
                var written = Relative ? feed : Math.Round(e, 5);
                if (Spiral)
                {
                    Line(text, "G1", ('X', xs[side]), ('Y', ys[side]), ('Z', z + ((side + 1) * LayerMm / 4)), (Axis, written), ('F', 1800));
                }
                else
                {
                    Line(text, "G1", ('X', xs[side]), ('Y', ys[side]), (Axis, written), ('F', 1800));
                }

                text.Append(AfterSide);
            }

            e = RetractE == 0 || Spiral ? e : Feed(text, e, -RetractE, 2400);
        }

        return text.ToString();
    }

    private double Feed(StringBuilder text, double e, double change, double feed)
    {
        e = Math.Round(e + change, 5);
        Line(text, "G1", (Axis, Relative ? change : e), ('F', feed));
        return e;
    }

    private void Line(StringBuilder text, string command, params ReadOnlySpan<(char Letter, double Value)> words)
    {
        text.Append(command);
        foreach (var (letter, value) in words)
        {
            text.Append(Between).Append(letter).Append(value.ToString("0.#####", CultureInfo.InvariantCulture));
        }

        text.Append('\n');
    }
}
