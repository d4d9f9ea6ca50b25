// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Samples;

/// <summary>
/// The example jobs: spare parts printed at the repair café of a town library (an invented place). Each one differs in material,
/// in how filament is counted, and in what its comments state and where.
/// </summary>
public static class RepairCafe
{
    private static readonly Spool Pla = new("PLA", 1.24, 205, 215, 60, 255);
    private static readonly Spool Petg = new("PETG", 1.27, 240, 245, 80, 102);
    private static readonly Spool Abs = new("ABS", 1.04, 245, 250, 100, 0);
    private static readonly Spool Asa = new("ASA", 1.07, 250, 255, 100, 26);

    /// <summary>All jobs.</summary>
    public static IReadOnlyList<SampleJob> Jobs { get; } = [RadioKnob(), LampClip(), HoseAdapter(), ScrewCup(), BatteryDoor()];

    private static SampleJob RadioKnob() => new()
    {
        Name = "radio-knob",
        Spool = Pla,
        Pen = new() { RelativeE = false, RetractMm = 5, RetractMmPerS = 45, TravelAsG0 = true, TravelMmPerS = 120 },
        Limits = ["M201 X500 Y500 Z100 E5000", "M203 X500 Y500 Z10 E50", "M204 P500 T500 R1000"],
        Story = """
            # A knob for a kitchen radio (PLA)

            A visitor's kitchen radio lost its tuning knob. The repair café of the town library prints a new one: 25 mm across,
            with grip ribs and a hole for a flattened 6 mm shaft.

            - Material: PLA, 205 °C after the first layer, 60 °C bed, fan full.
            - The file counts filament in absolute positions and sets the counter to 0 at each layer.

                fumecast estimate examples/radio-knob/job.gcode

            The visitor, the place and the radio are invented; `job.gcode` is written by `tests/Fumecast.Samples`.

            """,
        Draw = static (pen, text) => Layers(pen, text, Pla, layers: 38, heightMm: 0.25, layer => layer < 28
            ? [new KnobSection(new(100, 100), 12.5, 0.35, 18, 3.1, 2.3)]
            : [new KnobSection(new(100, 100), 12.5 - 0.01 * (layer - 28) * (layer - 28), 0.35, 18, 0, 0)],
            new LayerStyle { HeightMm = 0.25, WidthMm = 0.45, OuterMmPerS = 30, InnerMmPerS = 45, FillMmPerS = 55, FillShare = 0.2, FillAngle = 0 },
            resetsE: true),
        Claims = static books => new(
            [Text($"; repair café, job sheet 14: knob for a kitchen radio"), "; shaft 6 mm with a flat, press fit"],
            ["; what the planning table says about this job", Text($"; uses {books.FilamentMm:F2} mm, {books.VolumeMm3 / 1000:F2} cm3, {books.MassG:F2} g"),
             "; material pla", "; filament diameter 1.75 mm", "; density 1.24 g/cm3", "; layer height 0.25 mm", "; nozzle diameter 0.4 mm", "; nozzle 205 degC"]),
    };

    private static SampleJob LampClip() => new()
    {
        Name = "lamp-clip",
        Spool = Petg,
        Pen = new() { RelativeE = true, RetractMm = 1.2, RetractMmPerS = 30, LeadingZero = false, TravelMmPerS = 150 },
        Limits = ["M204 P800 T1000 R1500", "M205 X8 Y8 Z0.4 E5"],
        Story = """
            # A clip that holds a lamp shade (PETG)

            The reading lamp of table six droops since its clip broke. Two new clips of PETG snap around the 22 mm tube of the lamp; one is a spare.

            - Material: PETG, 240 °C after the first layer, 80 °C bed, fan at 40 %.
            - The file counts filament relatively and leaves out leading zeros; its header states a time that ignores accelerations.

                fumecast estimate examples/lamp-clip/job.gcode

            The library and its lamp are invented; `job.gcode` is written by `tests/Fumecast.Samples`.

            """,
        Draw = static (pen, text) =>
        {
            var style = new LayerStyle { HeightMm = 0.24, WidthMm = 0.48, OuterMmPerS = 25, InnerMmPerS = 40, FillMmPerS = 45, FillShare = 0.35, FillAngle = 0 };
            Layers(pen, text, Petg, layers: 17, heightMm: 0.24, _ => [new OpenRing(new(85, 100), 11, 15, 8.2), new OpenRing(new(125, 100), 11, 15, 8.2)],
                style, resetsE: false);
        },
        Claims = static books => new(
            ["; repair café, job sheet 15: two clips for a reading lamp", Text($"; takes {books.NaiveTimeS:F0} s"), Text($"; uses {books.FilamentMm:F2} mm"),
             "; layer height 0.24 mm", "; material petg", "; filament diameter 1.75 mm", "; density 1.27 g/cm3"],
            ["; end of job sheet 15"]),
    };

    private static SampleJob HoseAdapter() => new()
    {
        Name = "hose-adapter",
        Spool = Abs,
        Pen = new() { RelativeE = true, RetractMm = 0.7, RetractMmPerS = 40, TravelMmPerS = 200 },
        Limits = ["M204 P1500 T2500"],
        Story = """
            # An adapter for a vacuum cleaner's hose (ABS)

            An old vacuum cleaner gets a new hose that is 3 mm too narrow. The adapter is a tube that steps from 38 mm to 35 mm, printed in ABS since it gets warm.
            ABS gives off styrene: this is the job the café's volunteers asked about first.

            - Material: ABS, 245 °C after the first layer, 100 °C bed, no fan.
            - All walls are arcs (G2 and G3); the filament is counted relatively.

                fumecast estimate examples/hose-adapter/job.gcode

            The café and the vacuum cleaner are invented; `job.gcode` is written by `tests/Fumecast.Samples`.

            """,
        Draw = DrawHoseAdapter,
        Claims = static books => new(
            ["; repair café, job sheet 16: hose adapter 38 to 35 mm", "; material abs", "; filament diameter 1.75 mm", "; density 1.04 g/cm3",
             "; layer height 0.3 mm", "; nozzle diameter 0.6 mm"],
            ["; sums of the job", Text($"; uses {books.FilamentMm:F1} mm, {books.VolumeMm3 / 1000:F2} cm3, {books.MassG:F2} g")]),
    };

    private static SampleJob ScrewCup() => new()
    {
        Name = "screw-cup",
        Spool = Pla,
        Pen = new() { RelativeE = true, RetractMm = 0.8, RetractMmPerS = 35, TravelMmPerS = 150 },
        Story = """
            # A cup that keeps the screws of an open device (PLA, one wall)

            Screws roll off the table while a device is open. The café prints a stack of these cups: a closed bottom, then one wall that climbs without a seam.
            Its flow hardly changes once the wall has begun; the slow first layer and the hops of the bottom are what a meter would see of unevenness.

            - Material: PLA, 205 °C after the first layer, 60 °C bed, fan full.
            - The wall rises inside its moves: each move has X, Y, Z and relative E.

                fumecast evenness examples/screw-cup/job.gcode examples/radio-knob/job.gcode

            The café is invented; `job.gcode` is written by `tests/Fumecast.Samples`.

            """,
        Draw = DrawScrewCup,
        Claims = static books => new(
            ["; repair café, job sheet 17: cup for loose screws", "; the wall is one spiral"],
            [Text($"; uses {books.FilamentMm:F2} mm, {books.MassG:F2} g"), "; material pla", "; filament diameter 1.75 mm",
             "; density 1.24 g/cm3", "; layer height 0.3 mm", "; nozzle diameter 0.6 mm"]),
    };

    private static SampleJob BatteryDoor() => new()
    {
        Name = "battery-door",
        Spool = Asa,
        Pen = new() { RelativeE = true, RetractMm = 0.8, RetractMmPerS = 35, TravelMmPerS = 180, TravelAsG0 = true },
        HeatsTogether = false,
        Story = """
            # A battery door for a garden lantern (ASA)

            The lantern stands outside, so its new battery door is printed in ASA: a thin plate with two rows of slots. Flat parts mean much short fill, and many hops
            between the bars: the flow stops and starts all the time.

            - Material: ASA, 250 °C after the first layer, 100 °C bed, a breath of fan.
            - The nozzle is heated after the bed, not beside it; the filament is counted relatively.

                fumecast estimate examples/battery-door/job.gcode

            The lantern and the café are invented; `job.gcode` is written by `tests/Fumecast.Samples`.

            """,
        Draw = static (pen, text) =>
        {
            var windows = new List<Plate>();
            for (var row = 0; row < 2; row++)
            {
                for (var slot = 0; slot < 4; slot++)
                {
                    windows.Add(new Plate(new(82 + 12 * slot, 93 + 14 * row), 5, 9, 1, []));
                }
            }

            Layers(pen, text, Asa, layers: 8, heightMm: 0.2, layer => [new Plate(new(100, 100), layer < 5 ? 58 : 55, layer < 5 ? 36 : 33, 3, windows)],
                new LayerStyle { HeightMm = 0.2, WidthMm = 0.44, OuterMmPerS = 35, InnerMmPerS = 60, FillMmPerS = 70, FillShare = 0.4, FillAngle = 0 },
                resetsE: false);
        },
        Claims = static books => new(
            ["; repair café, job sheet 18: battery door of a garden lantern", "; material asa", "; filament diameter 1.75 mm", "; density 1.07 g/cm3"],
            [Text($"; uses {books.FilamentMm:F2} mm, {books.MassG:F2} g")]),
    };

    /// <summary>Draws the layers of a part: slow first layer, closed bottom and top, open fill between, fan from the third layer on.</summary>
    private static void Layers(
        Pen pen, GCodeText text, Spool spool, int layers, double heightMm, Func<int, IRegion[]> sections, LayerStyle style, bool resetsE)
    {
        const int ClosedLayers = 3;
        for (var layer = 0; layer < layers; layer++)
        {
            var z = heightMm * (layer + 1);
            text.Line(Text($"; layer {layer + 1} of {layers}"));
            if (resetsE && layer > 0)
            {
                pen.ResetE();
            }

            if (layer == 1)
            {
                text.Line(Text($"M104 S{spool.NozzleC}"));
            }

            if (layer == 2 && spool.Fan > 0)
            {
                text.Line(Text($"M106 S{spool.Fan}"));
            }

            pen.ToHeight(z);
            var drawn = style with
            {
                FillShare = layer < ClosedLayers || layer >= layers - ClosedLayers ? 1 : style.FillShare,
                FillAngle = layer % 2 == 0 ? Math.PI / 4 : -Math.PI / 4,
            };
            if (layer == 0)
            {
                drawn = drawn with { OuterMmPerS = 18, InnerMmPerS = 20, FillMmPerS = 22 };
                text.Line("; line around the part, to start the flow");
                foreach (var region in sections(layer))
                {
                    LayerPainter.Loop(pen, region.Outlines(-4).First(), drawn.BeadMm2, 20);
                }
            }

            foreach (var region in sections(layer))
            {
                LayerPainter.Paint(pen, text, region, drawn);
            }
        }
    }

    private static void DrawHoseAdapter(Pen pen, GCodeText text)
    {
        const double Height = 0.3;
        const double Width = 0.66;
        const int LayerCount = 134;
        var centre = new Spot(110, 105);
        var bead = new LayerStyle { HeightMm = Height, WidthMm = Width, OuterMmPerS = 0, InnerMmPerS = 0, FillMmPerS = 0, FillShare = 1, FillAngle = 0 }.BeadMm2;
        for (var layer = 0; layer < LayerCount; layer++)
        {
            var z = Height * (layer + 1);
            text.Line(Text($"; layer {layer + 1} of {LayerCount}"));
            if (layer == 1)
            {
                text.Line(Text($"M104 S{Abs.NozzleC}"));
            }

            pen.ToHeight(z);
            // Outer radius: 19 mm below, 17.5 mm above, a cone of 6 mm between them; a stop collar below the cone.
            var outer = z < 17 ? 19.0 : z > 23 ? 17.5 : 19.0 - 1.5 * (z - 17) / 6;
            var loops = z is > 13 and < 17 ? 6 : 4;
            outer += (loops - 4) * Width;
            if (layer == 0)
            {
                text.Line("; line around the part, to start the flow");
                Turn(pen, centre, outer + 4, 0, clockwise: false, bead, 20);
            }

            text.Line("; walls, from the inside out");
            for (var loop = loops - 1; loop >= 0; loop--)
            {
                var speed = layer == 0 ? 18 : loop == 0 ? 35 : 50;
                Turn(pen, centre, outer - (loop + 0.5) * Width, layer * 0.37, clockwise: loop == loops - 1, bead, speed);
            }
        }
    }

    /// <summary>A full turn in two arcs.</summary>
    private static void Turn(Pen pen, Spot centre, double radiusMm, double startAngle, bool clockwise, double beadMm2, double speedMmPerS)
    {
        var from = Ring.At(centre, radiusMm, startAngle);
        var half = Ring.At(centre, radiusMm, startAngle + Math.PI);
        pen.Travel(from.X, from.Y);
        pen.Arc(half.X, half.Y, centre.X, centre.Y, clockwise, beadMm2, speedMmPerS);
        pen.Arc(from.X, from.Y, centre.X, centre.Y, clockwise, beadMm2, speedMmPerS);
    }

    private static void DrawScrewCup(Pen pen, GCodeText text)
    {
        const double Height = 0.3;
        const double Width = 0.66;
        const int Sides = 60;
        const int Turns = 115;
        var centre = new Spot(100, 100);
        var style = new LayerStyle { HeightMm = Height, WidthMm = Width, OuterMmPerS = 30, InnerMmPerS = 40, FillMmPerS = 45, FillShare = 1, FillAngle = 0, Loops = 1 };
        Layers(pen, text, Pla, layers: 3, Height, _ => [new Disc(centre, 24, Sides)], style, resetsE: false);
        text.Line("; from here on one wall, climbing");
        var z0 = pen.Z;
        var start = Ring.At(centre, 24 - Width / 2, 0);
        pen.Travel(start.X, start.Y);
        for (var step = 1; step <= Turns * Sides; step++)
        {
            if (step % Sides == 1)
            {
                text.Line(Text($"; turn {(step - 1) / Sides + 1}"));
            }

            var turns = (double)step / Sides;
            // Five soft waves that grow with height make the cup easy to grip.
            var wave = 0.8 * Math.Min(1, turns / 60) * Math.Sin(5 * 2 * Math.PI * turns);
            var spot = Ring.At(centre, 24 - Width / 2 + 0.03 * turns + wave, 2 * Math.PI * turns);
            pen.Line(spot.X, spot.Y, style.BeadMm2, 40, z0 + Height * turns);
        }
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
