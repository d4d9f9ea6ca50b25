// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Tests.Published.Motion;

[Published("gcode reference section 3.5, computed; forms after RS274/NGC version 3, NISTIR 6556, section 3.5.3", "V6, W15")]
public class Worked_arcs
{
    [Theory]
    [InlineData(10, 10, 0, 10, false, 0, 15.707963)]
    [InlineData(10, 10, 0, 10, true, 0, 47.123890)]
    [InlineData(0, 0, 5, 0, true, 0, 31.415927)]
    [InlineData(0, 0, 10, 0, true, 2, 62.863676)]
    public void Length_in_centre_form(double x, double y, double i, double j, bool clockwise, double z, double mm)
    {
        Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, default, new(x, y, z), new(i, j, 0), clockwise, 0, out var arc));
        Close.ToDigits(mm, 8, arc.LengthMm);
        Assert.InRange(arc.RadiusMismatchMm, 0, 1e-12);
    }

    [Theory]
    [InlineData(10, false, 10.471976)]
    [InlineData(10, true, 10.471976)]
    [InlineData(-10, false, 52.359878)]
    [InlineData(-10, true, 52.359878)]
    public void Length_in_radius_form(double radius, bool clockwise, double mm)
    {
        Assert.True(ArcPath.TryFromRadius(ArcPlane.XY, default, new(10, 0, 0), radius, clockwise, 0, out var arc));
        Close.ToDigits(mm, 8, arc.LengthMm);
    }

    // W15: 15.707963 mm cut at 1 mm, and at 0.002 mm from the arc; 16 chords measured.
    [Fact]
    public void Number_and_length_of_chords()
    {
        Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, default, new(10, 10, 0), new(0, 10, 0), false, 0, out var arc));
        Assert.Equal(15, arc.PiecesOfLength(1));
        Assert.Equal(39, arc.PiecesWithin(0.002));
        var at = default(Position);
        var sum = 0.0;
        foreach (var end in arc.Ends(16))
        {
            var chord = Math.Sqrt(Math.Pow(end.X - at.X, 2) + Math.Pow(end.Y - at.Y, 2));
            Close.ToDigits(0.98135349, 8, chord);
            sum += chord;
            at = end;
        }

        Assert.Equal(new Position(10, 10, 0), at);
        Close.ToDigits(15.701656, 8, sum);
        Close.ToDigits(1.0467191, 8, 2 * 10 * Math.Sin(arc.SweepRad / 15 / 2));
    }
}
