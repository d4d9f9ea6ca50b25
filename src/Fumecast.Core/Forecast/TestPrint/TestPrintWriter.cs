// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Writes a planned test print as G-code, streaming.</summary>
/// <remarks>
/// Phases: background (printer on, heaters off), heating, purge (nozzle hot, nothing fed), printing, decay (heaters off). Waits are cut into pieces of at most a minute with a line on the
/// printer's display, so that a person sees where the run is. E words have 9 decimals and carry their rounding error on, which keeps filament per
/// length constant to 1e-6 although a piece may feed only some thousandths of a millimetre.
/// </remarks>
internal static class TestPrintWriter
{
    private const double PieceOfWaitS = 60;
    private const double PrimeMm = 4;
    private const double PrimeMmPerS = 2;
    private const double RetractMm = 2;
    private const double WaitHeightMm = 10;
    private const double LiftMm = 5;

    /// <summary>Writes a test print.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="output">Where to; stays open.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="OperationCanceledException">The work was stopped.</exception>
    public static void Write(TestPrintPlan plan, TextWriter output, CancellationToken cancel = default)
    {
        var text = new Lines(output);
        Header(plan, text);
        Background(plan, text);
        var sink = new PathWriter(plan, output, text, cancel);
        TestPrintPath.Walk(plan, ref sink);
        sink.Flush();
        CoolDown(plan, text);
    }

    private static void Header(TestPrintPlan plan, Lines text)
    {
        var request = plan.Request;
        text.Line($"; test print with constant flow, for emission trials");
        text.Line($"; NEVER leave it unattended: a hot printer needs a person nearby who can switch it off.");
        text.Line($"; Follow the printer maker's instructions and your local rules; they come first. Ventilate, and keep out of the air that is measured.");
        text.Line($"; material {request.MaterialId}");
        text.Line($"; filament diameter {plan.FilamentDiameterMm:0.###} mm");
        text.Line($"; density {request.DensityGPerCm3:0.####} g/cm3");
        text.Line($"; uses {plan.FilamentMm:F2} mm, {plan.MassG:F2} g");
        text.Line($"; layer height {request.LayerMm:0.###} mm");
        text.Line($"; flow {request.FlowMm3PerS:0.####} mm3/s for {TestPrintPlanner.Span(plan.PrintS)}, nozzle {request.NozzleC:0.#} C, bed {request.BedC:0.#} C, fan {request.FanShare * 100:0} %");
        text.Line($"; body: {(plan.Shape == TestPrintShape.SingleWall ? "single wall" : "ring")}, outer radius {plan.OuterRadiusMm:0.##} mm, height {plan.HeightMm:0.##} mm");
        text.Line($"; phases: background {TestPrintPlanner.Span(request.BackgroundS)}, heating, purge {TestPrintPlanner.Span(request.PurgeS)}, printing {TestPrintPlanner.Span(plan.PrintS)}, decay {TestPrintPlanner.Span(request.DecayS)}");
        foreach (var note in plan.Notes)
        {
            text.Line($"; {note}");
        }
    }

    private static void Background(TestPrintPlan plan, Lines text)
    {
        var request = plan.Request;
        text.Line($"G21");
        text.Line($"G90");
        text.Line($"{(request.RelativeE ? "M83" : "M82")}");
        text.Line($"M104 S0");
        text.Line($"M140 S0");
        text.Line($"M107");
        text.Line($"; phase: background, printer on, heaters off");
        Wait(plan, text, "Background", request.BackgroundS);
        text.Line($"; phase: heating");
        text.Line($"M117 Heating, stay with the printer");
        text.Line($"G28");
        if (request.BedC > 0)
        {
            text.Line($"M190 S{request.BedC:0.#}");
        }
    }

    private static void CoolDown(TestPrintPlan plan, Lines text)
    {
        text.Line($"; phase: decay, heaters off");
        text.Line($"M104 S0");
        text.Line($"M140 S0");
        text.Line($"M107");
        if (!plan.Request.RelativeE)
        {
            text.Line($"G92 E0");
        }

        text.Line($"G1 E{-RetractMm:0.###} F1800");
        text.Line($"G0 Z{Math.Min(plan.HeightMm + WaitHeightMm, Math.Max(plan.HeightMm + LiftMm, plan.Request.Printer.HeightMm)):0.###} F300");
        Wait(plan, text, "Cooling", plan.Request.DecayS);
        text.Line($"M84");
        text.Line($"M117 Test print is over");
        text.Line($"; phase: end");
    }

    private static void Wait(TestPrintPlan plan, Lines text, string what, double seconds)
    {
        // Milliseconds after P are read alike by three of the four firmware families; S is not known to all.
        var perSecond = 1 / plan.Request.Printer.Dialect.G4PUnitS;
        for (var left = seconds; left > 1e-3; left -= PieceOfWaitS)
        {
            text.Line($"M117 {what}, {Math.Ceiling(left / 60):0} min left");
            text.Line($"G4 P{Math.Min(left, PieceOfWaitS) * perSecond:0.###}");
        }
    }

    /// <summary>Lines in the invariant culture.</summary>
    private sealed class Lines(TextWriter output)
    {
        public void Line(FormattableString text)
        {
            output.Write(text.ToString(CultureInfo.InvariantCulture));
            output.Write('\n');
        }
    }

    /// <summary>Writes the pieces of the path through a buffer of its own: a day's print has millions.</summary>
    private struct PathWriter(TestPrintPlan plan, TextWriter output, Lines text, CancellationToken cancel) : ITestPrintSink
    {
        private const int Room = 128;
        private const double EUnit = 1e9;
        private readonly char[] _buffer = new char[1 << 14];
        private int _used;
        private double _wantedE;
        private double _writtenE;
        private double _resetE;
        private bool _upper;

        public void Start(double xMm, double yMm, double zMm)
        {
            var request = plan.Request;
            text.Line($"G0 Z{WaitHeightMm:0.###} F300");
            text.Line($"G0 X{xMm:F4} Y{yMm:F4} F3000");
            text.Line($"M109 S{request.NozzleC:0.#}");
            if (request.PurgeS > 0)
            {
                text.Line($"; phase: purge, nozzle hot, nothing fed");
                Wait(plan, text, "Purge", request.PurgeS);
            }

            if (request.FanShare > 0)
            {
                // S1 would be full speed for some firmware and next to nothing for others.
                text.Line($"M106 S{Math.Max(2, Math.Round(255 * request.FanShare)):0}");
            }

            text.Line($"G0 Z{zMm:F5} F300");
            text.Line($"G92 E0");
            text.Line($"G1 E{PrimeMm:0.###} F{PrimeMmPerS * 60:0.#}");
            if (!request.RelativeE)
            {
                text.Line($"G92 E0");
            }

            text.Line($"; phase: printing");
            text.Line($"M117 Printing, stay with the printer");
            text.Line($"G1 F{plan.FirstLayerMmPerS * 60:F0}");
        }

        public void Layer(int number, double zMm)
        {
            Append("; layer ");
            Append(number, "0");
            Append(" of ");
            Append(plan.Layers, "0");
            End();
            if (!plan.Request.RelativeE)
            {
                // Small positions keep their digits in firmware that counts with single precision.
                Append("G92 E0");
                End();
                _resetE = _writtenE;
            }
        }

        public void Piece(double xMm, double yMm, double zMm, double lengthMm, bool firstLayer)
        {
            _wantedE += lengthMm * (firstLayer ? plan.FirstLayerFeedPerMm : plan.FeedPerMm);
            var before = _writtenE;
            _writtenE = Math.Round(_wantedE * EUnit) / EUnit;
            Append("G1 X");
            Append(xMm, "F4");
            Append(" Y");
            Append(yMm, "F4");
            if (!firstLayer)
            {
                Append(" Z");
                Append(zMm, "F5");
            }

            Append(" E");
            Append(_writtenE - (plan.Request.RelativeE ? before : _resetE), "F9");
            if (!firstLayer && !_upper)
            {
                _upper = true;
                Append(" F");
                Append(plan.SpeedMmPerS * 60, "F0");
            }

            End();
        }

        public void Flush()
        {
            cancel.ThrowIfCancellationRequested();
            output.Write(_buffer, 0, _used);
            _used = 0;
        }

        private void Append(string part)
        {
            part.CopyTo(_buffer.AsSpan(_used));
            _used += part.Length;
        }

        private void Append(double value, string format)
        {
            value.TryFormat(_buffer.AsSpan(_used), out var written, format, CultureInfo.InvariantCulture);
            _used += written;
        }

        private void End()
        {
            _buffer[_used++] = '\n';
            if (_used > _buffer.Length - Room)
            {
                Flush();
            }
        }
    }
}
