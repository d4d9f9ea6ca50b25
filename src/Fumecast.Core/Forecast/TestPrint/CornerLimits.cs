// SPDX-License-Identifier: MIT
using Fumecast.Motion;

namespace Fumecast.Forecast.TestPrint;

/// <summary>How sharply a path of straight pieces may bend so that its corners never hold back the speed.</summary>
/// <remarks>
/// Source of the junction rules: gcode reference, junction speed (the per-axis, deviation and square-corner rules), solved for the
/// turn. The direction of travel is taken as the worst one. Safety factors (common practice, no source) keep the plan away from the
/// limits, since a profile only resembles the printer.
/// </remarks>
internal sealed class CornerLimits
{
    private const double SpeedMargin = 2;
    private const double RadiusMargin = 1.2;
    private const double BufferMargin = 1.5;

    /// <summary>Greatest distance of a straight piece from its circle over the width of a strand [-]; so small that neighbours keep apart whose corners do not line up.</summary>
    private const double SagittaOverWidth = 0.018;

    private readonly MotionLimits _limits;
    private readonly int? _lookaheadBlocks;
    private readonly double _widthMm;

    public CornerLimits(MotionLimits limits, int? lookaheadBlocks, double widthMm)
    {
        _limits = limits;
        _lookaheadBlocks = lookaheadBlocks;
        _widthMm = widthMm;
        AccelMmPerS2 = Math.Min(limits.PrintAccelMmPerS2, Math.Min(limits.MaxAccelMmPerS2.X, limits.MaxAccelMmPerS2.Y));
        TopMmPerS = Math.Min(limits.MaxPathSpeedMmPerS, Math.Min(limits.MaxFeedMmPerS.X, limits.MaxFeedMmPerS.Y));
    }

    /// <summary>Acceleration that any direction of the plane allows [mm/s2].</summary>
    public double AccelMmPerS2 { get; }

    /// <summary>Speed that any direction of the plane allows [mm/s].</summary>
    public double TopMmPerS { get; }

    /// <summary>Greatest turn between two pieces at a speed [rad].</summary>
    public double TurnRad(double speedMmPerS)
    {
        var speed = SpeedMargin * speedMmPerS;
        return _limits.Junction switch
        {
            JunctionModel.PerAxisJerk => Math.Min(1, Math.Min(_limits.JerkMmPerS.X, _limits.JerkMmPerS.Y) / speed),
            JunctionModel.Deviation => TurnOfCircle(speed, AccelMmPerS2 * _limits.DeviationMm),
            _ => TurnOfCircle(speed, _limits.SquareCornerMmPerS * _limits.SquareCornerMmPerS * (Math.Sqrt(2) - 1)),
        };
    }

    /// <summary>Length of a straight piece of a circle [mm].</summary>
    public static double PieceMm(double radiusMm, double turnRad, double widthMm) => Math.Min(Math.Sqrt(8 * SagittaOverWidth * widthMm * radiusMm), turnRad * radiusMm);

    /// <summary>Least radius on which a speed can be held [mm].</summary>
    /// <remarks>
    /// Three demands: the pull to the centre stays below the acceleration limit; the pieces are long enough for a printer that looks only so
    /// many moves ahead to be able to stop within them; and the rise of a helix is gentle enough for the height axis.
    /// </remarks>
    public double RadiusMm(double speedMmPerS, double layerMm)
    {
        var radius = RadiusMargin * speedMmPerS * speedMmPerS / AccelMmPerS2;
        if (_lookaheadBlocks is int blocks)
        {
            // PieceMm grows with the radius, as its root or in proportion: solve both for the piece needed.
            var piece = BufferMargin * speedMmPerS * speedMmPerS / (2 * AccelMmPerS2) / Math.Max(1, blocks - 2);
            radius = Math.Max(radius, Math.Max(piece * piece / (8 * SagittaOverWidth * _widthMm), piece / TurnRad(speedMmPerS)));
        }

        var riseMmPerS = _limits.MaxFeedMmPerS.Z;
        if (_limits.Junction == JunctionModel.PerAxisJerk)
        {
            riseMmPerS = Math.Min(riseMmPerS, _limits.JerkMmPerS.Z);
        }

        return Math.Max(radius, SpeedMargin * speedMmPerS * layerMm / (2 * Math.PI * riseMmPerS));
    }

    /// <summary>Highest speed that a radius allows [mm/s].</summary>
    public double SpeedMmPerS(double radiusMm, double layerMm)
    {
        double low = 0, high = Math.Min(TopMmPerS, 10_000);
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = RadiusMm(middle, layerMm) <= radiusMm ? (middle, high) : (low, middle);
        }

        return low;
    }

    /// <summary>The turn at which a circle through the corner at a fixed distance allows a speed; <paramref name="scale"/> is acceleration times distance [mm2/s2].</summary>
    private static double TurnOfCircle(double speed, double scale) => 2 * Math.Acos(speed * speed / (speed * speed + scale));
}
