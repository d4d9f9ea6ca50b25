// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Motion;

public class ArcPathTests
{
    // In each plane the first axis turns to the second counter-clockwise: X to Y, Z to X, Y to Z.
    [Theory]
    [InlineData(nameof(ArcPlane.XY), 10, 0, 3, 0, 10, 5)]
    [InlineData(nameof(ArcPlane.ZX), 0, 3, 10, 10, 5, 0)]
    [InlineData(nameof(ArcPlane.YZ), 3, 10, 0, 5, 0, 10)]
    public void Quarter_turn_counter_clockwise_in_each_plane(string planeName, double x0, double y0, double z0, double x1, double y1, double z1)
    {
        var plane = Enum.Parse<ArcPlane>(planeName);
        Assert.True(ArcPath.TryFromCentre(plane, new(x0, y0, z0), new(x1, y1, z1), new(-x0, -y0, -z0), false, 0, out var arc));
        Close.To(Math.PI / 2, arc.SweepRad, 1e-14);
        Close.To(Math.Sqrt(Math.Pow(5 * Math.PI, 2) + 4), arc.LengthMm, 1e-14);
        var half = arc.Ends(2).First();
        Close.To(4, plane switch { ArcPlane.XY => half.Z, ArcPlane.ZX => half.Y, _ => half.X }, 1e-14);
        Assert.True(ArcPath.TryFromCentre(plane, new(x0, y0, z0), new(x1, y1, z1), new(-x0, -y0, -z0), true, 0, out var long3));
        Close.To(-1.5 * Math.PI, long3.SweepRad, 1e-14);
    }

    [Fact]
    public void Ends_lie_on_the_circle_and_the_last_is_the_one_commanded() => Gen.Select(
            Gen.Double[-100, 100], Gen.Double[-100, 100], Gen.Double[0.5, 80], Gen.Double[-3, 3], Gen.Double[0.01, 6.2], Gen.Bool, Gen.Int[0, 3], Gen.Double[0.2, 3])
        .Sample(
            (x, y, radius, from, turn, clockwise, turns, piece) =>
            {
                var to = clockwise ? from - turn : from + turn;
                var start = new Position(x + (radius * Math.Cos(from)), y + (radius * Math.Sin(from)), 1);
                var end = new Position(x + (radius * Math.Cos(to)), y + (radius * Math.Sin(to)), 2);
                Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, start, end, new(x - start.X, y - start.Y, 7), clockwise, turns, out var arc));
                Close.To(turn + (turns * Math.Tau), Math.Abs(arc.SweepRad), 1e-9);
                Assert.InRange(arc.RadiusMismatchMm, 0, 1e-10);
                var pieces = arc.PiecesOfLength(piece);
                var count = 0;
                var last = start;
                var length = 0.0;
                foreach (var p in arc.Ends(pieces))
                {
                    count++;
                    Close.To(radius, Math.Sqrt(Math.Pow(p.X - x, 2) + Math.Pow(p.Y - y, 2)), 1e-9);
                    length += Math.Sqrt(Math.Pow(p.X - last.X, 2) + Math.Pow(p.Y - last.Y, 2) + Math.Pow(p.Z - last.Z, 2));
                    last = p;
                }

                Assert.Equal(pieces, count);
                Assert.Equal(end, last);
                Assert.True(length <= arc.LengthMm * (1 + 1e-12));

                // A chord of angle 2h is shorter than its arc by sin(h) / h, and more than 1 - h^2 / 6 of it.
                var h = arc.SweepRad / pieces / 2;
                Assert.True(length >= arc.LengthMm * (1 - (h * h / 6) - 1e-12));
            },
            iter: 500);

    [Fact]
    public void Radius_form_agrees_with_centre_form() => Gen.Select(
            Gen.Double[-50, 50], Gen.Double[-50, 50], Gen.Double[1, 40], Gen.Double[-3, 3], Gen.Double[0.1, 6.1], Gen.Bool)
        .Sample(
            (x, y, radius, from, turn, clockwise) =>
            {
                if (Math.Abs(turn - Math.PI) < 0.01)
                {
                    // Near half a turn the centre depends on the last digits.
                    return;
                }

                var to = clockwise ? from - turn : from + turn;
                var start = new Position(x + (radius * Math.Cos(from)), y + (radius * Math.Sin(from)), 0);
                var end = new Position(x + (radius * Math.Cos(to)), y + (radius * Math.Sin(to)), 0);
                Assert.True(ArcPath.TryFromRadius(ArcPlane.XY, start, end, turn > Math.PI ? -radius : radius, clockwise, 0, out var arc));
                Close.To(turn, Math.Abs(arc.SweepRad), 1e-8);
                Assert.Equal(clockwise, arc.SweepRad < 0);
                Close.To(radius, arc.RadiusMm, 1e-8);
                var (half, expected) = (arc.Ends(2).First(), (from + to) / 2);
                Assert.InRange(half.X - (x + (radius * Math.Cos(expected))), -1e-6, 1e-6);
                Assert.InRange(half.Y - (y + (radius * Math.Sin(expected))), -1e-6, 1e-6);
            },
            iter: 500);

    [Fact]
    public void Radius_too_short_becomes_half_a_turn_and_tells()
    {
        Assert.True(ArcPath.TryFromRadius(ArcPlane.XY, default, new(10, 0, 0), 4.9, true, 0, out var arc));
        Close.To(0.1, arc.RadiusMismatchMm, 1e-12);
        Close.To(5 * Math.PI, arc.LengthMm, 1e-12);
    }

    [Fact]
    public void Mismatch_of_the_radii_is_measured_and_the_end_is_kept()
    {
        Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, default, new(10, 10.5, 0), new(0, 10, 0), false, 0, out var arc));
        Close.To(Math.Sqrt(100.25) - 10, arc.RadiusMismatchMm, 1e-12);
        Assert.Equal(new Position(10, 10.5, 0), arc.Ends(arc.PiecesOfLength(1)).Last());
    }

    [Fact]
    public void What_is_no_arc_is_refused()
    {
        Assert.False(ArcPath.TryFromCentre(ArcPlane.XY, default, new(10, 0, 0), default, true, 0, out _));
        Assert.False(ArcPath.TryFromCentre(ArcPlane.XY, default, new(10, 0, 0), new(10, 0, 0), true, 0, out _));
        Assert.False(ArcPath.TryFromCentre(ArcPlane.XY, default, new(double.NaN, 0, 0), new(5, 0, 0), true, 0, out _));
        Assert.False(ArcPath.TryFromCentre(ArcPlane.XY, default, new(1, 0, 0), new(double.PositiveInfinity, 0, 0), true, 0, out _));
        Assert.False(ArcPath.TryFromRadius(ArcPlane.XY, default, default, 5, true, 0, out _));
        Assert.False(ArcPath.TryFromRadius(ArcPlane.XY, default, new(1, 0, 0), 0, true, 0, out _));
        Assert.False(ArcPath.TryFromRadius(ArcPlane.XY, default, new(1, 0, 0), double.NaN, true, 0, out _));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(1e-12)]
    public void Pieces_are_bounded(double wish)
    {
        Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, default, default, new(50, 0, 0), true, int.MaxValue, out var arc));
        Assert.Equal(100_000, arc.PiecesOfLength(wish));
        Assert.Equal(100_000, arc.PiecesWithin(wish));
    }

    // One piece would go nowhere and turn the feed into a purge on the spot.
    [Fact]
    public void Small_full_circle_keeps_four_pieces()
    {
        Assert.True(ArcPath.TryFromCentre(ArcPlane.XY, default, default, new(0.05, 0, 0), true, 0, out var arc));
        Assert.Equal(4, arc.PiecesOfLength(1));
        Assert.Equal(4, arc.PiecesWithin(1));
    }
}

/// <summary>First and last of an allocation-free enumerator, for tests.</summary>
internal static class PieceEndsInTests
{
    public static Position First(this ArcPath.PieceEnds ends)
    {
        Assert.True(ends.MoveNext());
        return ends.Current;
    }

    public static Position Last(this ArcPath.PieceEnds ends)
    {
        while (ends.MoveNext())
        {
        }

        return ends.Current;
    }
}
