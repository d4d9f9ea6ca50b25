// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using System.Runtime.CompilerServices;

namespace Fumecast.Motion;

/// <summary>The plane in which an arc turns.</summary>
internal enum ArcPlane
{
    /// <summary>X and Y, seen from +Z (G17).</summary>
    XY,

    /// <summary>Z and X, seen from +Y (G18).</summary>
    ZX,

    /// <summary>Y and Z, seen from +X (G19).</summary>
    YZ,
}

/// <summary>A position of the nozzle.</summary>
/// <param name="X">X [mm].</param>
/// <param name="Y">Y [mm].</param>
/// <param name="Z">Z [mm].</param>
internal readonly record struct Position(double X, double Y, double Z);

/// <summary>An arc or helix of G2 and G3, and the straight pieces that stand for it.</summary>
/// <remarks>
/// <para>The radius is that at the start and the sweep is decided by the angle of the end; the last piece ends exactly where commanded, so
/// a mismatch of the radii (<see cref="RadiusMismatchMm"/>) goes into the last piece. The axis across the plane moves evenly with
/// the angle; so should filament.</para>
/// <para>Sources: RS274/NGC version 3 (NISTIR 6556, 2000), section 3.5.3, for both forms and the sign of R.</para>
/// </remarks>
internal readonly struct ArcPath
{
    // Distance below which an end in the plane is the start, which means a full circle; below any step of a machine [mm].
    private const double SamePlaceMm = 1e-9;

    // A bound on time and memory for mad commands.
    private const int MostPieces = 100_000;
    private const int MostTurns = 100_000;

    private readonly ArcPlane _plane;
    private readonly Position _end;
    private readonly double _centreA;
    private readonly double _centreB;
    private readonly double _startA;
    private readonly double _startB;
    private readonly double _startAcross;
    private readonly double _rise;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private ArcPath(ArcPlane plane, in Position end, in InPlane start, double rise, double centreA, double centreB, double sweepRad, double mismatchMm)
    {
        _plane = plane;
        _end = end;
        _centreA = centreA;
        _centreB = centreB;
        (_startA, _startB, _startAcross) = (start.A - centreA, start.B - centreB, start.Across);
        _rise = rise;
        RadiusMm = Length(_startA, _startB);
        SweepRad = sweepRad;
        RadiusMismatchMm = mismatchMm;
        LengthMm = rise == 0 ? Math.Abs(RadiusMm * sweepRad) : Length(RadiusMm * sweepRad, rise);
    }

    /// <summary>Radius at the start [mm], over 0.</summary>
    public double RadiusMm { get; }

    /// <summary>Angle turned, extra turns included; negative clockwise [rad].</summary>
    public double SweepRad { get; }

    /// <summary>How far the radii at start and end differ; in radius form, how much the radius is too short to reach the end [mm], 0 or more.</summary>
    public double RadiusMismatchMm { get; }

    /// <summary>Length of the arc or helix [mm].</summary>
    public double LengthMm { get; }

    /// <summary>An arc given by its centre (I, J, K).</summary>
    /// <param name="plane">The plane.</param>
    /// <param name="start">Where it begins [mm].</param>
    /// <param name="end">Where it ends [mm]; the start again, in the plane, means a full circle.</param>
    /// <param name="centreFromStart">Centre relative to the start [mm]; the component across the plane is ignored.</param>
    /// <param name="clockwise">Whether it turns clockwise (G2).</param>
    /// <param name="extraTurns">Full turns added (P) [-]; negative counts as 0.</param>
    /// <param name="arc">The arc.</param>
    /// <returns>False when there is no arc: the centre lies on the start or end, or a number is not finite.</returns>
    public static bool TryFromCentre(ArcPlane plane, Position start, Position end, Position centreFromStart, bool clockwise, int extraTurns, out ArcPath arc)
    {
        var from = new InPlane(plane, in start);
        var to = new InPlane(plane, in end);
        var toCentre = new InPlane(plane, in centreFromStart);
        var (centreA, centreB) = (from.A + toCentre.A, from.B + toCentre.B);
        var mismatch = Math.Abs(Length(to.A - centreA, to.B - centreB) - Length(toCentre.A, toCentre.B));
        return TryMake(plane, in end, in from, in to, centreA, centreB, clockwise, extraTurns, mismatch, out arc);
    }

    /// <summary>An arc given by its radius (R).</summary>
    /// <param name="plane">The plane.</param>
    /// <param name="start">Where it begins [mm].</param>
    /// <param name="end">Where it ends [mm]; not the start.</param>
    /// <param name="radiusMm">Radius [mm]; over 0 the arc of at most half a turn, below 0 the long way round.</param>
    /// <param name="clockwise">Whether it turns clockwise (G2).</param>
    /// <param name="extraTurns">Full turns added (P) [-]; negative counts as 0.</param>
    /// <param name="arc">The arc. If the radius does not reach, half a turn over the chord, and <see cref="RadiusMismatchMm"/> tells.</param>
    /// <returns>False when there is no arc: end and start coincide in the plane, the radius is 0, or a number is not finite.</returns>
    public static bool TryFromRadius(ArcPlane plane, Position start, Position end, double radiusMm, bool clockwise, int extraTurns, out ArcPath arc)
    {
        var from = new InPlane(plane, in start);
        var to = new InPlane(plane, in end);
        var (halfA, halfB) = ((to.A - from.A) / 2, (to.B - from.B) / 2);
        var half = Length(halfA, halfB);
        var radius = Math.Abs(radiusMm);
        if (!(half > SamePlaceMm && radius > 0))
        {
            arc = default;
            return false;
        }

        // The short way of a left turn has its centre on the left of the chord; clockwise and the long way change sides.
        var height = Math.Sqrt(Math.Max(0, (radius - half) * (radius + half)));
        var side = clockwise == (radiusMm < 0) ? height : -height;
        var centreA = from.A + halfA - (side * halfB / half);
        var centreB = from.B + halfB + (side * halfA / half);
        return TryMake(plane, in end, in from, in to, centreA, centreB, clockwise, extraTurns, Math.Max(0, half - radius), out arc);
    }

    /// <summary>Number of straight pieces when their length is given: length / piece rounded down, at least 1.</summary>
    /// <param name="pieceMm">Length of a piece along the arc [mm]; 0, negative and NaN give the most pieces.</param>
    /// <returns>Pieces [-]; at least 4 for each full turn if the arc turns by more than half of one, since fewer would cut through its middle; at most 100 000.</returns>
    public int PiecesOfLength(double pieceMm) => Pieces(LengthMm / pieceMm);

    /// <summary>Number of straight pieces when their distance from the arc is given: chord 2 sqrt(t (2 r - t)).</summary>
    /// <param name="toleranceMm">Greatest distance of a chord from its arc t [mm]; 0, negative and NaN give the most pieces.</param>
    /// <returns>Pieces [-]; bounded as in <see cref="PiecesOfLength"/>.</returns>
    public int PiecesWithin(double toleranceMm) =>
        Pieces(toleranceMm >= RadiusMm ? 1 : RadiusMm * Math.Abs(SweepRad) / (2 * Math.Sqrt(toleranceMm * ((2 * RadiusMm) - toleranceMm))));

    /// <summary>The ends of the straight pieces, in order; the last is exactly the end commanded.</summary>
    /// <param name="pieces">Number of pieces [-], 1 or more.</param>
    /// <returns>An enumerator for foreach; nothing is allocated.</returns>
    [UnscopedRef]
    public PieceEnds Ends(int pieces) => new(in this, Math.Max(1, pieces));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool TryMake(
        ArcPlane plane, in Position end, in InPlane from, in InPlane to, double centreA, double centreB, bool clockwise, int extraTurns, double mismatch,
        out ArcPath arc)
    {
        var (fromA, fromB) = (from.A - centreA, from.B - centreB);
        var (toA, toB) = (to.A - centreA, to.B - centreB);
        var sweep = Math.Atan2((fromA * toB) - (fromB * toA), (fromA * toA) + (fromB * toB));
        if (Squared(to.A - from.A, to.B - from.B) <= SamePlaceMm * SamePlaceMm)
        {
            sweep = clockwise ? -Math.Tau : Math.Tau;
        }
        else if (clockwise && sweep >= 0)
        {
            sweep -= Math.Tau;
        }
        else if (!clockwise && sweep <= 0)
        {
            sweep += Math.Tau;
        }

        var turns = Math.Clamp(extraTurns, 0, MostTurns) * Math.Tau;
        arc = new ArcPath(plane, in end, in from, to.Across - from.Across, centreA, centreB, sweep + (clockwise ? -turns : turns), mismatch);
        return arc.RadiusMm > SamePlaceMm && Squared(toA, toB) > SamePlaceMm * SamePlaceMm && double.IsFinite(arc.LengthMm + mismatch);
    }

    private static double Length(double a, double b) => Math.Sqrt(Squared(a, b));

    private static double Squared(double a, double b) => (a * a) + (b * b);

    private Position InSpace(double a, double b, double across) => _plane switch
    {
        ArcPlane.ZX => new(b, across, a),
        ArcPlane.YZ => new(across, a, b),
        _ => new(a, b, across),
    };

    private int Pieces(double wanted)
    {
        var sweep = Math.Abs(SweepRad);
        var least = sweep > Math.PI ? Math.Ceiling(sweep / (Math.PI / 2)) : 1;

        // False for NaN and for a negative wish.
        if (!(wanted >= 0 && wanted < MostPieces && least < MostPieces))
        {
            return MostPieces;
        }

        return (int)(wanted > least ? wanted : least);
    }

    /// <summary>A position as the plane of the arc sees it [mm].</summary>
    private readonly struct InPlane
    {
        public readonly double A;
        public readonly double B;
        public readonly double Across;

        // Inlined, its parts stay in registers; a call would hand them over in memory, several times for each arc.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public InPlane(ArcPlane plane, in Position p)
        {
            if (plane == ArcPlane.XY)
            {
                (A, B, Across) = (p.X, p.Y, p.Z);
            }
            else
            {
                (A, B, Across) = plane == ArcPlane.ZX ? (p.Z, p.X, p.Y) : (p.Y, p.Z, p.X);
            }
        }
    }

    /// <summary>Enumerates the ends of the pieces of an arc.</summary>
    public ref struct PieceEnds
    {
        // Turning the radius by a fixed angle is far quicker than sine and cosine; its rounding is wiped out every so many pieces.
        private const int Resync = 32;

        private readonly ref readonly ArcPath _arc;
        private readonly int _pieces;
        private readonly double _stepSine;
        private readonly double _stepCosine;
        private double _a;
        private double _b;
        private int _piece;

        internal PieceEnds(ref readonly ArcPath arc, int pieces)
        {
            _arc = ref arc;
            _pieces = pieces;
            (_stepSine, _stepCosine) = SineCosine(arc.SweepRad / pieces);
            (_a, _b) = (arc._startA, arc._startB);
        }

        /// <summary>End of the piece just reached.</summary>
        public Position Current { get; private set; }

        /// <summary>Whether the last piece was reached.</summary>
        public readonly bool IsDone => _piece >= _pieces;

        /// <summary>Goes to the next piece.</summary>
        /// <returns>False behind the last one.</returns>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool MoveNext()
        {
            if (IsDone)
            {
                return false;
            }

            _piece++;
            if (_piece == _pieces)
            {
                Current = _arc._end;
                return true;
            }

            if (_piece % Resync == 0)
            {
                var (sine, cosine) = Math.SinCos(_arc.SweepRad * _piece / _pieces);
                (_a, _b) = ((_arc._startA * cosine) - (_arc._startB * sine), (_arc._startA * sine) + (_arc._startB * cosine));
            }
            else
            {
                (_a, _b) = ((_a * _stepCosine) - (_b * _stepSine), (_a * _stepSine) + (_b * _stepCosine));
            }

            Current = _arc.InSpace(_arc._centreA + _a, _arc._centreB + _b, _arc._rise == 0 ? _arc._startAcross : _arc._startAcross + (_arc._rise * _piece / _pieces));
            return true;
        }

        // The pieces of an arc are short: a few terms of both series are exact to rounding, and quicker than two calls. Terms are paired, and pairs
        // of pairs, so that none waits for a long row of others.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static (double Sine, double Cosine) SineCosine(double rad)
        {
            if (!(Math.Abs(rad) < 0.5))
            {
                return Math.SinCos(rad);
            }

            var x = rad * rad;
            var (x2, x4) = (x * x, x * x * (x * x));
            return (
                rad * ((1 - x * (1.0 / 6)) + x2 * (1.0 / 120 - x * (1.0 / 5040)) + x4 * ((1.0 / 362880 - x * (1.0 / 39916800)) + x2 * (1.0 / 6227020800))),
                (1 - x * 0.5) + x2 * (1.0 / 24 - x * (1.0 / 720)) + x4 * ((1.0 / 40320 - x * (1.0 / 3628800)) + x2 * (1.0 / 479001600 - x * (1.0 / 87178291200))));
        }

        /// <summary>Itself, for foreach.</summary>
        public readonly PieceEnds GetEnumerator() => this;
    }
}
