// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;

namespace Fumecast.Flow;

/// <summary>What a job gives off against time, at the middle of all figures, in equal cells; of limited size, however long the job.</summary>
/// <remarks>The cells are the bins of the forecast; when there are too many of them, two become one.</remarks>
internal sealed class SourceSeries
{
    private const int MostCells = 1 << 15;

    // Beyond this a job is a damaged file; the clamp keeps cell numbers whole.
    private const double LongestS = 1e12;

    private readonly List<double> _number = [];
    private readonly List<double> _tvocUg = [];
    private double _endS;

    /// <summary>Readies an empty series.</summary>
    /// <param name="binS">Length of the bins that come [s], over 0.</param>
    public SourceSeries(double binS)
    {
        CellS = binS;
    }

    /// <summary>Length of a cell [s].</summary>
    public double CellS { get; private set; }

    /// <summary>Adds a bin, in order and without gaps.</summary>
    /// <param name="startS">Its start since the beginning of the job [s].</param>
    /// <param name="durationS">Its length [s], over 0.</param>
    /// <param name="number">Particles [-].</param>
    /// <param name="tvocUg">Volatile organic compounds [ug].</param>
    public void Add(double startS, double durationS, double number, double tvocUg)
    {
        var endS = startS + durationS;
        if (!(durationS > 0) || !(startS >= 0 && endS < LongestS) || !double.IsFinite(number + tvocUg))
        {
            return;
        }

        while (endS > MostCells * CellS)
        {
            Halve(_number);
            Halve(_tvocUg);
            CellS *= 2;
        }

        _endS = endS;

        // Rounding of sums must not make a cell that holds nothing.
        var count = Math.Max(1, (int)Math.Ceiling(endS / CellS - 1e-6));
        Grow(_number, count);
        Grow(_tvocUg, count);
        for (var cell = Math.Min(count - 1, (int)Math.Floor(startS / CellS + 1e-6)); cell < count; cell++)
        {
            var share = Math.Max(0, Math.Min(endS, (cell + 1) * CellS) - Math.Max(startS, cell * CellS)) / durationS;
            _number[cell] += share * number;
            _tvocUg[cell] += share * tvocUg;
        }
    }

    /// <summary>How even it is over the print phase.</summary>
    /// <param name="phaseStartS">Start of the print phase since the beginning of the job [s].</param>
    /// <param name="phaseS">Its length [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    /// <returns>The figures, or null when nothing is given off or the print phase has fewer than three cells.</returns>
    public SourceEvenness? Judge(double phaseStartS, double phaseS, double timeConstantS)
    {
        var source = new SourceEvenness(
            Judge(_number, phaseStartS, phaseS, timeConstantS), Judge(_tvocUg, phaseStartS, phaseS, timeConstantS));
        return source is { ParticleNumber: null, Tvoc: null } ? null : source;
    }

    /// <summary>The level of the particles in the air over the print phase, as it is judged; null where it is not.</summary>
    /// <param name="phaseStartS">Start of the print phase since the beginning of the job [s].</param>
    /// <param name="phaseS">Its length [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    public LevelsInAir? NumberInAir(double phaseStartS, double phaseS, double timeConstantS) => InAir(_number, phaseStartS, phaseS, timeConstantS)?.Air;

    /// <summary>The same of the volatile organic compounds.</summary>
    /// <param name="phaseStartS">Start of the print phase since the beginning of the job [s].</param>
    /// <param name="phaseS">Its length [s].</param>
    /// <param name="timeConstantS">Time constant of the air [s], over 0.</param>
    public LevelsInAir? TvocInAir(double phaseStartS, double phaseS, double timeConstantS) => InAir(_tvocUg, phaseStartS, phaseS, timeConstantS)?.Air;

    /// <summary>The level in the air by one agent over the cells that lie wholly within the print phase, and how much its rate varies.</summary>
    private (LevelsInAir Air, double Cv)? InAir(List<double> amounts, double phaseStartS, double phaseS, double timeConstantS)
    {
        var first = (int)Math.Ceiling(phaseStartS / CellS - 1e-6);
        var last = Math.Min(amounts.Count, (int)Math.Floor(Math.Min(phaseStartS + phaseS, _endS) / CellS + 1e-6));
        if (last - first < 3)
        {
            return null;
        }

        var judged = CollectionsMarshal.AsSpan(amounts)[first..last].ToArray();
        var mean = judged.Average();
        if (!(mean > 0) || RoomSmoothing.Levels(judged, CellS, timeConstantS, Before(amounts, first, mean, timeConstantS)) is not { } levels)
        {
            return null;
        }

        return (
            new LevelsInAir(first * CellS - phaseStartS, CellS, levels),
            Math.Sqrt(judged.Average(amount => (amount / mean - 1) * (amount / mean - 1))));
    }

    /// <summary>Judges one agent.</summary>
    private AgentEvenness? Judge(List<double> amounts, double phaseStartS, double phaseS, double timeConstantS)
    {
        if (InAir(amounts, phaseStartS, phaseS, timeConstantS) is not var ((offsetS, _, levels), cv))
        {
            return null;
        }

        var plateau = RoomSmoothing.LongestPlateau(levels, CellS);
        var wander = RoomSmoothing.Wander(levels);
        var endS = levels.Length * CellS;
        return new AgentEvenness
        {
            Cv = cv,
            PlateauWander = wander,
            PlateauFromS = FromPhase(plateau.FromS),
            PlateauToS = FromPhase(plateau.ToS),
            SettlesAfterS = RoomSmoothing.SettlesAfterS(levels, CellS, timeConstantS) is { } settled ? FromPhase(settled) : null,
            Grade = RoomSmoothing.Grade(wander, RoomSmoothing.LongestNearMedianS(levels, CellS), timeConstantS, phaseS, idleShare: 0),
        };

        // The cells at both ends of the phase, which are not whole, go with their neighbours.
        double FromPhase(double s) => s <= 1e-6 * CellS ? 0 : s >= endS - 1e-6 * CellS ? phaseS : offsetS + s;
    }

    /// <summary>What the air holds above the mean when the print phase begins [-].</summary>
    /// <remarks>
    /// What a hot nozzle gave off before it counts, such as residue that evaporated while it waited. Air that is still cleaner than the mean
    /// does not: the build-up belongs to every trial and is no fault of the print.
    /// </remarks>
    private double Before(List<double> amounts, int first, double mean, double timeConstantS)
    {
        var gain = RoomSmoothing.Gain(CellS, timeConstantS);
        var deviation = 0.0;
        var hasBegun = false;
        for (var i = 0; i < first; i++)
        {
            hasBegun |= amounts[i] > 0;
            if (hasBegun)
            {
                deviation += (amounts[i] / mean - 1 - deviation) * gain;
            }
        }

        return Math.Max(0, deviation);
    }

    private static void Grow(List<double> amounts, int count)
    {
        if (amounts.Count is var before && before < count)
        {
            CollectionsMarshal.SetCount(amounts, count);
            CollectionsMarshal.AsSpan(amounts)[before..].Clear();
        }
    }

    private static void Halve(List<double> amounts)
    {
        var halves = (amounts.Count + 1) / 2;
        for (var i = 0; i < halves; i++)
        {
            amounts[i] = amounts[2 * i] + (2 * i + 1 < amounts.Count ? amounts[2 * i + 1] : 0);
        }

        amounts.RemoveRange(halves, amounts.Count - halves);
    }
}
