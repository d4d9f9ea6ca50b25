// SPDX-License-Identifier: MIT
namespace Fumecast.Motion;

/// <summary>Four values, one for each axis; the unit is that of the quantity they belong to.</summary>
/// <param name="X">Value of X.</param>
/// <param name="Y">Value of Y.</param>
/// <param name="Z">Value of Z.</param>
/// <param name="E">Value of the filament.</param>
internal readonly record struct PerAxis(double X, double Y, double Z, double E);

/// <summary>How fast two moves may join.</summary>
internal enum JunctionModel
{
    /// <summary>The step of speed of each axis is limited (<see cref="MotionLimits.JerkMmPerS"/>).</summary>
    PerAxisJerk,

    /// <summary>A circle passes the corner at a given distance (<see cref="MotionLimits.DeviationMm"/>).</summary>
    Deviation,

    /// <summary>The speed of a right-angled corner is given (<see cref="MotionLimits.SquareCornerMmPerS"/>).</summary>
    SquareCorner,
}

/// <summary>How the step of speed of an axis that turns round is counted.</summary>
internal enum JerkReversal
{
    /// <summary>The sum of both speeds.</summary>
    Sum,

    /// <summary>The larger of both speeds.</summary>
    Max,
}

/// <summary>The limits in force for moves that are added from now on. Mutable, since G-code changes them move by move.</summary>
/// <remarks>
/// Infinite means not limited. All values are positive; the planner replaces 0, negative values and NaN by the floors of
/// <see cref="LimitValues"/>, so that a mad command costs much time rather than all of it.
/// </remarks>
internal sealed class MotionLimits
{
    /// <summary>Counts changes of everything but the three accelerations, so that the planner sees a change by one comparison.</summary>
    internal int Revision { get; private set; }

    /// <summary>Counts changes of the three accelerations; some files change them before every move.</summary>
    internal int AccelRevision { get; private set; }

    /// <summary>Highest speed of each axis [mm/s].</summary>
    public PerAxis MaxFeedMmPerS { get; set => Change(ref field, value); } = new(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity);

    /// <summary>Highest acceleration of each axis [mm/s2].</summary>
    public PerAxis MaxAccelMmPerS2 { get; set => Change(ref field, value); } = new(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity);

    /// <summary>Highest speed along the path of a nozzle move [mm/s].</summary>
    public double MaxPathSpeedMmPerS { get; set => Change(ref field, value); } = double.PositiveInfinity;

    /// <summary>Acceleration of moves that feed or wipe [mm/s2].</summary>
    public double PrintAccelMmPerS2 { get; set => ChangeAccel(ref field, value); } = 1000;

    /// <summary>Acceleration of moves without filament [mm/s2].</summary>
    public double TravelAccelMmPerS2 { get; set => ChangeAccel(ref field, value); } = 1000;

    /// <summary>Acceleration of moves of filament alone [mm/s2].</summary>
    public double RetractAccelMmPerS2 { get; set => ChangeAccel(ref field, value); } = 1000;

    /// <summary>Whether the limits of the filament axis also hold back nozzle moves; some firmware families ignore them there.</summary>
    public bool FilamentLimitsNozzleMoves { get; set => Change(ref field, value); } = true;

    /// <summary>Slowest commanded speed of printing moves; slower ones are raised to it [mm/s].</summary>
    public double MinPrintFeedMmPerS { get; set => Change(ref field, value); }

    /// <summary>Slowest commanded speed of travel moves; slower ones are raised to it [mm/s].</summary>
    public double MinTravelFeedMmPerS { get; set => Change(ref field, value); }

    /// <summary>The junction model.</summary>
    public JunctionModel Junction { get; set => Change(ref field, value); } = JunctionModel.Deviation;

    /// <summary>Allowed step of speed of each axis, for <see cref="JunctionModel.PerAxisJerk"/> [mm/s].</summary>
    public PerAxis JerkMmPerS { get; set => Change(ref field, value); } = new(10, 10, 0.4, 5);

    /// <summary>How a turn-round is counted, for <see cref="JunctionModel.PerAxisJerk"/>.</summary>
    public JerkReversal JerkReversal { get; set => Change(ref field, value); } = JerkReversal.Sum;

    /// <summary>Whether a move may start from and end at rest with the jerk speed, for <see cref="JunctionModel.PerAxisJerk"/>.</summary>
    public bool JerkAtRest { get; set => Change(ref field, value); }

    /// <summary>Whether only two printing or two travelling moves may join without a stop, for <see cref="JunctionModel.PerAxisJerk"/>.</summary>
    public bool JerkWithinKindOnly { get; set => Change(ref field, value); }

    /// <summary>Distance of the corner's circle, for <see cref="JunctionModel.Deviation"/> [mm].</summary>
    public double DeviationMm { get; set => Change(ref field, value); } = 0.013;

    /// <summary>Speed of a right-angled corner, for <see cref="JunctionModel.SquareCorner"/> [mm/s].</summary>
    public double SquareCornerMmPerS { get; set => Change(ref field, value); } = 5;

    /// <summary>Allowed step of filament speed, for <see cref="JunctionModel.SquareCorner"/> [mm/s].</summary>
    public double ExtruderStepMmPerS { get; set => Change(ref field, value); } = double.PositiveInfinity;

    /// <summary>Whether nozzle moves and moves of filament alone always meet at rest.</summary>
    public bool StopBetweenFilamentAndNozzleMoves { get; set => Change(ref field, value); }

    /// <summary>Share of each move's length that must be cruised, 0 to below 1 [-].</summary>
    public double MinimumCruiseRatio { get; set => Change(ref field, value); }

    /// <summary>Takes over all values of other limits.</summary>
    /// <param name="other">The limits to copy.</param>
    public void CopyFrom(MotionLimits other)
    {
        MaxFeedMmPerS = other.MaxFeedMmPerS;
        MaxAccelMmPerS2 = other.MaxAccelMmPerS2;
        MaxPathSpeedMmPerS = other.MaxPathSpeedMmPerS;
        PrintAccelMmPerS2 = other.PrintAccelMmPerS2;
        TravelAccelMmPerS2 = other.TravelAccelMmPerS2;
        RetractAccelMmPerS2 = other.RetractAccelMmPerS2;
        FilamentLimitsNozzleMoves = other.FilamentLimitsNozzleMoves;
        MinPrintFeedMmPerS = other.MinPrintFeedMmPerS;
        MinTravelFeedMmPerS = other.MinTravelFeedMmPerS;
        Junction = other.Junction;
        JerkMmPerS = other.JerkMmPerS;
        JerkReversal = other.JerkReversal;
        JerkAtRest = other.JerkAtRest;
        JerkWithinKindOnly = other.JerkWithinKindOnly;
        DeviationMm = other.DeviationMm;
        SquareCornerMmPerS = other.SquareCornerMmPerS;
        ExtruderStepMmPerS = other.ExtruderStepMmPerS;
        StopBetweenFilamentAndNozzleMoves = other.StopBetweenFilamentAndNozzleMoves;
        MinimumCruiseRatio = other.MinimumCruiseRatio;
    }

    private void Change<T>(ref T field, T value)
        where T : struct
    {
        if (!EqualityComparer<T>.Default.Equals(field, value))
        {
            field = value;
            Revision++;
        }
    }

    private void ChangeAccel(ref double field, double value)
    {
        if (field != value)
        {
            field = value;
            AccelRevision++;
        }
    }
}
