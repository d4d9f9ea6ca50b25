// SPDX-License-Identifier: MIT
namespace Fumecast.Samples;

/// <summary>How a pen feeds and travels.</summary>
public sealed record PenSettings
{
    /// <summary>Filament diameter [mm].</summary>
    public double FilamentDiameterMm { get; init; } = 1.75;

    /// <summary>Whether E words are relative.</summary>
    public bool RelativeE { get; init; }

    /// <summary>Length of a retraction [mm].</summary>
    public double RetractMm { get; init; } = 0.8;

    /// <summary>Speed of a retraction [mm/s].</summary>
    public double RetractMmPerS { get; init; } = 35;

    /// <summary>Speed of travel [mm/s].</summary>
    public double TravelMmPerS { get; init; } = 150;

    /// <summary>Travel longer than this is made with the filament retracted [mm].</summary>
    public double RetractFromMm { get; init; } = 2;

    /// <summary>Whether travel is written as G0 instead of G1.</summary>
    public bool TravelAsG0 { get; init; }

    /// <summary>Whether numbers below 1 keep their leading zero.</summary>
    public bool LeadingZero { get; init; } = true;
}

/// <summary>Draws beads and travels as G-code and keeps the books: position, filament, length over feed rate.</summary>
/// <remarks>
/// A bead of cross-section A over a path of length d needs A d of filament volume. E words are rounded to 5 decimals; the
/// rounding error is carried to the next word, so that the sum stays right.
/// </remarks>
public sealed class Pen(GCodeText text, PenSettings settings)
{
    private readonly double _filamentMm2 = Math.PI * settings.FilamentDiameterMm * settings.FilamentDiameterMm / 4;
    private double _wantedE;
    private double _writtenE;
    private double _resetE;
    private double _feedMmPerMin;
    private bool _retracted;

    /// <summary>Position along X [mm].</summary>
    public double X { get; private set; }

    /// <summary>Position along Y [mm].</summary>
    public double Y { get; private set; }

    /// <summary>Height [mm].</summary>
    public double Z { get; private set; }

    /// <summary>Filament deposited since the last <see cref="StartCount"/> [mm].</summary>
    public double DepositedMm { get; private set; }

    /// <summary>Sum of length over feed rate, accelerations left out [s].</summary>
    public double NaiveTimeS { get; private set; }

    /// <summary>Starts counting filament anew, after the priming line.</summary>
    public void StartCount() => DepositedMm = 0;

    /// <summary>Sets the logical E to 0.</summary>
    public void ResetE()
    {
        text.Line("G92 E0");
        _resetE = _writtenE;
    }

    /// <summary>Moves to a height.</summary>
    public void ToHeight(double z)
    {
        text.Text("G1").Word('Z', z, 3, settings.LeadingZero);
        Feed(10, Math.Abs(z - Z));
        text.End();
        Z = z;
    }

    /// <summary>Travels to a point, retracted when it is far.</summary>
    public void Travel(double x, double y)
    {
        x = Math.Round(x, 3);
        y = Math.Round(y, 3);
        var length = Distance(x - X, y - Y);
        if (length == 0)
        {
            return;
        }

        if (length > settings.RetractFromMm)
        {
            Retract();
        }

        text.Text(settings.TravelAsG0 ? "G0" : "G1").Word('X', x, 3).Word('Y', y, 3);
        Feed(settings.TravelMmPerS, length);
        text.End();
        (X, Y) = (x, y);
        Recover();
    }

    /// <summary>Draws a straight bead.</summary>
    /// <param name="x">End along X [mm].</param>
    /// <param name="y">End along Y [mm].</param>
    /// <param name="beadMm2">Cross-section of the bead [mm2].</param>
    /// <param name="speedMmPerS">Speed along the path [mm/s].</param>
    /// <param name="z">Height at the end, for a rising wall [mm]; NaN for none.</param>
    public void Line(double x, double y, double beadMm2, double speedMmPerS, double z = double.NaN)
    {
        x = Math.Round(x, 3);
        y = Math.Round(y, 3);
        var rise = 0.0;
        var length = Distance(x - X, y - Y);
        text.Text("G1").Word('X', x, 3).Word('Y', y, 3);
        if (!double.IsNaN(z))
        {
            z = Math.Round(z, 3);
            rise = z - Z;
            text.Word('Z', z, 3);
            length = Distance(length, rise);
            Z = z;
        }

        WordE(length * beadMm2 / _filamentMm2);
        Feed(speedMmPerS, length);
        text.End();
        (X, Y) = (x, y);
    }

    /// <summary>Draws an arc bead about a centre, at most a full turn.</summary>
    /// <param name="x">End along X [mm].</param>
    /// <param name="y">End along Y [mm].</param>
    /// <param name="centreX">Centre along X [mm].</param>
    /// <param name="centreY">Centre along Y [mm].</param>
    /// <param name="clockwise">Whether it turns clockwise.</param>
    /// <param name="beadMm2">Cross-section of the bead [mm2].</param>
    /// <param name="speedMmPerS">Speed along the path [mm/s].</param>
    public void Arc(double x, double y, double centreX, double centreY, bool clockwise, double beadMm2, double speedMmPerS)
    {
        x = Math.Round(x, 3);
        y = Math.Round(y, 3);
        var radius = Distance(centreX - X, centreY - Y);
        var turn = Math.Atan2(y - centreY, x - centreX) - Math.Atan2(Y - centreY, X - centreX);
        turn = clockwise ? -turn : turn;
        turn = turn <= 1e-9 ? turn + 2 * Math.PI : turn;
        var length = radius * turn;
        text.Text(clockwise ? "G2" : "G3").Word('X', x, 3).Word('Y', y, 3)
            .Word('I', centreX - X, 3, settings.LeadingZero).Word('J', centreY - Y, 3, settings.LeadingZero);
        WordE(length * beadMm2 / _filamentMm2);
        Feed(speedMmPerS, length);
        text.End();
        (X, Y) = (x, y);
    }

    /// <summary>Pulls the filament back, unless it is.</summary>
    public void Retract()
    {
        if (!_retracted)
        {
            _retracted = true;
            FilamentOnly(-settings.RetractMm);
        }
    }

    /// <summary>Pushes the filament forward again, if it was pulled back.</summary>
    public void Recover()
    {
        if (_retracted)
        {
            _retracted = false;
            FilamentOnly(settings.RetractMm);
        }
    }

    private void FilamentOnly(double lengthMm)
    {
        text.Text("G1");
        var before = DepositedMm;
        WordE(lengthMm);
        DepositedMm = before;
        Feed(settings.RetractMmPerS, Math.Abs(lengthMm));
        text.End();
    }

    private void WordE(double lengthMm)
    {
        _wantedE += lengthMm;
        var before = _writtenE;
        _writtenE = Math.Round(_wantedE, 5);
        text.Word('E', settings.RelativeE ? _writtenE - before : _writtenE - _resetE, 5, settings.LeadingZero);
        DepositedMm += _writtenE - before;
    }

    private void Feed(double speedMmPerS, double lengthMm)
    {
        var feed = Math.Round(speedMmPerS * 60);
        if (feed != _feedMmPerMin)
        {
            text.Word('F', feed, 0);
            _feedMmPerMin = feed;
        }

        NaiveTimeS += lengthMm / (feed / 60);
    }

    private static double Distance(double a, double b) => Math.Sqrt(a * a + b * b);
}
