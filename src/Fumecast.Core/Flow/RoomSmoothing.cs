// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>What the unevenness of a flow leaves of itself in the air: the base of the grade.</summary>
/// <remarks>
/// <para>A mixed volume of air with loss rate lambda follows its source like a first-order low-pass filter of time constant
/// 1/lambda: a rhythm of period P arrives weakened by sqrt(1 + (2 pi / (lambda P))^2). Layers of a minute in a room of 1/h are gone
/// (a factor of 377); a change of cross-section that lasts half an hour stays. So the grade asks not how the flow looks second by
/// second but how far the plateau would wander.</para>
/// <para>The time constant is 10 min: a small enclosure or a strongly ventilated room (common practice, no source). Real rooms of
/// 0.5 to 2 per hour smooth more, so the grade errs towards strictness. A plateau takes three time constants to form and as long
/// again to be read; where the print phase is shorter than six times 10 min, a sixth of it is taken instead.</para>
/// </remarks>
internal static class RoomSmoothing
{
    /// <summary>Time constant of the air for prints of an hour or more [s].</summary>
    public const double TimeConstantS = 600;

    /// <summary>Wander up to which a plateau looks steady [-].</summary>
    /// <remarks>Half of the 10 % that low-cost meters scatter by (common practice, no source): added in quadrature it widens that by an eighth.</remarks>
    public const double FlatWander = 0.05;

    /// <summary>Wander up to which a plateau can still be used [-].</summary>
    /// <remarks>1.5 times that scatter: the print, not the meter, then limits what the trial can tell, but averaging still helps.</remarks>
    public const double FairWander = 0.15;

    /// <summary>Idle share up to which a print can be flat [-].</summary>
    /// <remarks>An idle hot nozzle still emits, not in proportion to any flow. Up to a third of the time the flow remains the main thing; a choice of ours.</remarks>
    public const double FlatIdleShare = 1.0 / 3;

    /// <summary>Idle share up to which a print can be fair [-]; a choice of ours.</summary>
    public const double FairIdleShare = 2.0 / 3;

    /// <summary>The time constant that a print phase of a given length is judged with.</summary>
    /// <param name="printPhaseS">Length of the print phase [s].</param>
    /// <returns>Time constant [s].</returns>
    public static double TimeConstantForS(double printPhaseS) => Math.Min(TimeConstantS, printPhaseS / 6);

    /// <summary>Standard deviation of the flow after the air's own smoothing, over its mean.</summary>
    /// <param name="flowsMm3PerS">Means over cells [mm3/s].</param>
    /// <param name="cellS">Length of a cell [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    /// <returns>Relative wander of the plateau [-]; null with fewer than 3 cells or no flow.</returns>
    /// <remarks>The filter starts at the mean flow: the build-up from clean air belongs to every trial and is no fault of the print.</remarks>
    public static double? Wander(double[] flowsMm3PerS, double cellS, double timeConstantS)
    {
        var mean = flowsMm3PerS.Length < 3 ? 0 : flowsMm3PerS.Average();
        if (!(mean > 0))
        {
            return null;
        }

        var gain = 1 - Math.Exp(-cellS / timeConstantS);
        var (deviation, sum, squares) = (0.0, 0.0, 0.0);
        foreach (var flow in flowsMm3PerS)
        {
            deviation += (flow / mean - 1 - deviation) * gain;
            sum += deviation;
            squares += deviation * deviation;
        }

        var meanDeviation = sum / flowsMm3PerS.Length;
        return Math.Sqrt(Math.Max(0, squares / flowsMm3PerS.Length - meanDeviation * meanDeviation));
    }

    /// <summary>The grade.</summary>
    /// <param name="wander">Relative wander of the plateau [-], or null when it is unknown.</param>
    /// <param name="idleShare">Share of the print phase without flow [-].</param>
    /// <returns>The grade; null when the wander is unknown.</returns>
    public static EvennessGrade? Grade(double? wander, double idleShare) =>
        wander is null ? null
        : wander <= FlatWander && idleShare <= FlatIdleShare ? EvennessGrade.Flat
        : wander <= FairWander && idleShare <= FairIdleShare ? EvennessGrade.Fair
        : EvennessGrade.Uneven;
}
