// SPDX-License-Identifier: MIT
namespace Fumecast.Samples;

/// <summary>A point of the plane [mm].</summary>
public readonly record struct Spot(double X, double Y);

/// <summary>A flat region of a part: gives its outline and holes, drawn in by a distance.</summary>
public interface IRegion
{
    /// <summary>Closed outlines at a distance inside the region's edge, the outer one first; the last point is not repeated.</summary>
    /// <param name="insetMm">Distance from the edge [mm].</param>
    IEnumerable<Spot[]> Outlines(double insetMm);
}

/// <summary>A round knob with grip ribs and a hole for a flattened shaft.</summary>
public sealed record KnobSection(Spot Centre, double RadiusMm, double RibMm, int Ribs, double ShaftRadiusMm, double FlatMm) : IRegion
{
    /// <inheritdoc/>
    public IEnumerable<Spot[]> Outlines(double insetMm)
    {
        yield return Ring.Turn(72, Centre, angle => RadiusMm + RibMm * Math.Cos(Ribs * angle) - insetMm);
        if (ShaftRadiusMm > 0)
        {
            var hole = Ring.Turn(32, Centre, _ => ShaftRadiusMm + insetMm);
            // The flat of the shaft cuts the circle off at one side.
            yield return [.. hole.Select(spot => spot with { X = Math.Min(spot.X, Centre.X + FlatMm + insetMm) }).Reverse()];
        }
    }
}

/// <summary>A plain disc.</summary>
public sealed record Disc(Spot Centre, double RadiusMm, int Sides) : IRegion
{
    /// <inheritdoc/>
    public IEnumerable<Spot[]> Outlines(double insetMm) => [Ring.Turn(Sides, Centre, _ => RadiusMm - insetMm)];
}

/// <summary>A rectangle with rounded corners and rectangular windows.</summary>
public sealed record Plate(Spot Centre, double WidthMm, double DepthMm, double CornerMm, IReadOnlyList<Plate> Windows) : IRegion
{
    /// <inheritdoc/>
    public IEnumerable<Spot[]> Outlines(double insetMm)
    {
        yield return Rounded(insetMm);
        foreach (var window in Windows)
        {
            yield return [.. window.Rounded(-insetMm).Reverse()];
        }
    }

    private Spot[] Rounded(double insetMm)
    {
        const int PiecesPerCorner = 5;
        var radius = Math.Max(0.05, CornerMm - insetMm);
        var halfX = WidthMm / 2 - insetMm - radius;
        var halfY = DepthMm / 2 - insetMm - radius;
        var spots = new Spot[4 * (PiecesPerCorner + 1)];
        for (var i = 0; i < spots.Length; i++)
        {
            var corner = i / (PiecesPerCorner + 1);
            var angle = Math.PI / 2 * (corner + (double)(i % (PiecesPerCorner + 1)) / PiecesPerCorner);
            var signX = corner is 0 or 3 ? 1 : -1;
            var signY = corner is 0 or 1 ? 1 : -1;
            spots[i] = new(Centre.X + signX * halfX + radius * Math.Cos(angle), Centre.Y + signY * halfY + radius * Math.Sin(angle));
        }

        return spots;
    }
}

/// <summary>A ring with a gap, as a clip that snaps on a rod.</summary>
public sealed record OpenRing(Spot Centre, double InnerMm, double OuterMm, double HalfGapMm) : IRegion
{
    /// <inheritdoc/>
    public IEnumerable<Spot[]> Outlines(double insetMm)
    {
        const int Pieces = 44;
        var outer = OuterMm - insetMm;
        var inner = InnerMm + insetMm;
        // Both ends of the ring are straight and parallel to the gap's middle line, which points along +X.
        var outerStart = Math.Asin((HalfGapMm + insetMm) / outer);
        var innerStart = Math.Asin((HalfGapMm + insetMm) / inner);
        var spots = new List<Spot>();
        for (var i = 0; i <= Pieces; i++)
        {
            spots.Add(Ring.At(Centre, outer, outerStart + (2 * Math.PI - 2 * outerStart) * i / Pieces));
        }

        for (var i = Pieces; i >= 0; i--)
        {
            spots.Add(Ring.At(Centre, inner, innerStart + (2 * Math.PI - 2 * innerStart) * i / Pieces));
        }

        yield return [.. spots];
    }
}

/// <summary>Points on circles.</summary>
public static class Ring
{
    /// <summary>A closed turn of points, anticlockwise from +X, at a radius that depends on the angle.</summary>
    public static Spot[] Turn(int sides, Spot centre, Func<double, double> radiusMm)
    {
        var spots = new Spot[sides];
        for (var i = 0; i < sides; i++)
        {
            var angle = 2 * Math.PI * i / sides;
            spots[i] = At(centre, radiusMm(angle), angle);
        }

        return spots;
    }

    /// <summary>The point at an angle [rad] of a circle.</summary>
    public static Spot At(Spot centre, double radiusMm, double angle) =>
        new(centre.X + radiusMm * Math.Cos(angle), centre.Y + radiusMm * Math.Sin(angle));
}
