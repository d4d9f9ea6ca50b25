// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;

namespace Fumecast.Flow;

/// <summary>Takes the flow of a job as it passes and tells in the end how even it was; of fixed size, however long the job.</summary>
/// <remarks>
/// It is fed twice. Pieces of deposit flow, linear in time, give the exact moments and the distribution. Cells of at most a second
/// give what depends on the order of time: the length of the print phase (from the start of the first cell with a deposit to the
/// end of the last, so at most a second too long), means over the meter's interval, rhythm, drift and steady stretches.
/// Feed nothing from before the first deposit of the object (purge lines). Formulas: gcode reference, section 8.
/// </remarks>
internal sealed class EvennessAccumulator
{
    private readonly double _intervalS;
    private readonly FlowDistribution _distribution = new();
    private readonly IntervalMoments _intervals;
    private double _referenceMm3PerS;
    private double _onS;
    private double _sum;
    private double _squares;
    private double _startS = double.NaN;
    private double _endS;

    /// <summary>Makes an empty one.</summary>
    /// <param name="meterIntervalS">Interval over which the meter averages [s], 0.1 to 1e7.</param>
    /// <exception cref="ArgumentOutOfRangeException">The interval is out of range.</exception>
    public EvennessAccumulator(double meterIntervalS)
    {
        _intervals = new(meterIntervalS);
        _intervalS = meterIntervalS;
    }

    /// <summary>Deposits by the second, counted from the first one, for plots; coarser for very long jobs.</summary>
    public CoarseningSeries Series { get; } = new();

    /// <summary>The first flow, about which moments are taken; 0 before it [mm3/s].</summary>
    public double ReferenceMm3PerS => _referenceMm3PerS;

    /// <summary>Start of the print phase since the beginning of the job, or null before the first deposit [s].</summary>
    public double? PhaseStartS => double.IsNaN(_startS) ? null : _startS;

    /// <summary>Adds a stretch of constant flow. Time without flow need not be added.</summary>
    /// <param name="flowMm3PerS">Deposit flow [mm3/s].</param>
    /// <param name="seconds">Length [s].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void AddConstant(double flowMm3PerS, double seconds)
    {
        if (!(flowMm3PerS > 0 && seconds > 0))
        {
            return;
        }

        if (_onS == 0)
        {
            _referenceMm3PerS = flowMm3PerS;
        }

        // Moments about the first flow: steady flow then has no variance at all, instead of the rounding of two large numbers.
        var over = flowMm3PerS - _referenceMm3PerS;
        _onS += seconds;
        _sum += over * seconds;
        _squares += over * over * seconds;
        _distribution.AddConstant(flowMm3PerS, seconds);
    }

    /// <summary>Adds a stretch during which the flow changes evenly.</summary>
    /// <param name="fromMm3PerS">Deposit flow at the start, 0 or more [mm3/s].</param>
    /// <param name="toMm3PerS">Deposit flow at the end, 0 or more [mm3/s].</param>
    /// <param name="seconds">Length [s].</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void AddRamp(double fromMm3PerS, double toMm3PerS, double seconds)
    {
        var low = Math.Min(fromMm3PerS, toMm3PerS);
        var high = Math.Max(fromMm3PerS, toMm3PerS);
        if (!(low >= 0 && high > 0 && seconds > 0))
        {
            return;
        }

        if (_onS == 0)
        {
            _referenceMm3PerS = high;
        }

        var overLow = low - _referenceMm3PerS;
        var overHigh = high - _referenceMm3PerS;
        _onS += seconds;
        _sum += (overLow + overHigh) * (seconds * 0.5);
        _squares += (overLow * overLow + overLow * overHigh + overHigh * overHigh) * (seconds * (1.0 / 3));
        _distribution.AddRamp(low, high, seconds);
    }

    /// <summary>Adds whole moves; only after something else, since moments are taken about the first flow.</summary>
    /// <param name="flows">What the moves add, about <see cref="ReferenceMm3PerS"/>.</param>
    /// <param name="from">The first of them.</param>
    /// <param name="to">Behind the last of them.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(MoveFlows flows, int from, int to)
    {
        var (onS, sum, squares) = (_onS, _sum, _squares);
        for (var i = from; i < to; i++)
        {
            onS += flows.DurationS[i];
            sum += flows.Sum[i];
            squares += flows.Squares[i];
        }

        (_onS, _sum, _squares) = (onS, sum, squares);
        _distribution.Add(flows, from, to);
    }

    /// <summary>Adds a cell of time, in order and without gaps. Time after the last deposit does not count.</summary>
    /// <param name="startS">Start since the beginning of the job [s].</param>
    /// <param name="durationS">Length [s], at most 1; the cell must not cross a whole second counted from the first deposit.</param>
    /// <param name="volumeMm3">Volume deposited in it [mm3].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void AddCell(double startS, double durationS, double volumeMm3)
    {
        if (!(volumeMm3 > 0) || !double.IsFinite(startS + durationS))
        {
            return;
        }

        if (double.IsNaN(_startS))
        {
            _startS = startS;
        }

        // A pause of 30 000 years is a damaged file; the clamp keeps interval numbers whole.
        var sinceS = Math.Clamp(startS - _startS, 0, 1e12);
        _endS = sinceS + durationS;
        Series.Add(sinceS, durationS, volumeMm3);
        _intervals.Add(sinceS, durationS, volumeMm3);
    }

    /// <summary>The figures for what was added so far; more may be added afterwards.</summary>
    /// <param name="includeSpectrum">Whether to look for a rhythm and to draw the Allan curve, which cost some milliseconds.</param>
    /// <param name="airTimeS">Time constant of the air [s], over 0.</param>
    /// <returns>The figures; all absent when nothing was deposited.</returns>
    public FlowEvenness Result(bool includeSpectrum = true, double airTimeS = RoomSmoothing.TimeConstantS) => Result(includeSpectrum, airTimeS, null);

    /// <summary>The figures, with those of the emission.</summary>
    /// <param name="includeSpectrum">Whether to look for a rhythm and to draw the Allan curve.</param>
    /// <param name="airTimeS">Time constant of the air [s], over 0.</param>
    /// <param name="source">What the job gives off, or null where that is not known.</param>
    internal FlowEvenness Result(bool includeSpectrum, double airTimeS, SourceSeries? source)
    {
        if (!(_onS > 0))
        {
            return new() { IntervalS = _intervalS };
        }

        var phaseS = Math.Max(_endS, _onS);
        var meanOn = _referenceMm3PerS + _sum / _onS;
        var varianceOn = Math.Max(0, _squares / _onS - _sum / _onS * (_sum / _onS));
        var onShare = _onS / phaseS;
        var variance = onShare * varianceOn + onShare * (1 - onShare) * meanOn * meanOn;

        var median = _distribution.Median();
        var flows = Series.MeansMm3PerS(phaseS);
        var steady = Steadiest(0.9 * median.GetValueOrDefault(), 1.1 * median.GetValueOrDefault());
        var rhythm = includeSpectrum ? FlowRhythm.Find(flows, Series.CellS) : null;
        var limits = _intervals.IndividualsLimits(_endS);
        var result = new FlowEvenness
        {
            IntervalS = _intervalS,
            PrintPhaseS = phaseS,
            IsTooShort = RoomSmoothing.IsTooShort(phaseS, airTimeS),
            MeanMm3PerS = meanOn * onShare,
            MedianMm3PerS = median,
            IdleShare = 1 - onShare,
            CvInstant = Math.Sqrt(variance) / (meanOn * onShare),
            Cv = _intervals.Cv(_endS),
            IndividualsLowMm3PerS = limits?.LowMm3PerS,
            IndividualsHighMm3PerS = limits?.HighMm3PerS,
            CvWhileExtruding = Math.Sqrt(varianceOn) / meanOn,
            ShareWithin10Percent = median is { } m ? ShareWithin(0.9 * m, 1.1 * m) : null,
            LongestSteadyS = steady.LongestS,
            DominantPeriodS = rhythm?.PeriodS,
            DominantPeriodStrength = rhythm?.Strength,
            Allan = includeSpectrum ? AllanDeviation.Curve(flows, Series.CellS, _intervalS) : [],
        };

        if (InAir(flows, steady, phaseS, airTimeS) is not var (offsetS, _, levels))
        {
            return result;
        }

        var wander = RoomSmoothing.Wander(levels);
        var plateau = RoomSmoothing.LongestPlateau(levels, Series.CellS);
        var grade = RoomSmoothing.Grade(wander, RoomSmoothing.LongestNearMedianS(levels, Series.CellS), airTimeS, phaseS, 1 - onShare);
        return WithReading(result with
        {
            PlateauWander = wander,
            PlateauTimeConstantS = airTimeS,
            PlateauFromS = offsetS + plateau.FromS,
            PlateauToS = offsetS + plateau.ToS,
            FlowGrade = grade,
            Source = source?.Judge(_startS, phaseS, airTimeS),
        });
    }

    /// <summary>What the grade rests on, against time; null when nothing was deposited.</summary>
    /// <param name="airTimeS">Time constant of the air [s], over 0.</param>
    /// <param name="source">What the job gives off, or null where that is not known.</param>
    internal JobInAir? InAir(double airTimeS, SourceSeries? source)
    {
        if (!(_onS > 0))
        {
            return null;
        }

        var phaseS = Math.Max(_endS, _onS);
        var median = _distribution.Median().GetValueOrDefault();
        return new JobInAir(
            InAir(Series.MeansMm3PerS(phaseS), Steadiest(0.9 * median, 1.1 * median), phaseS, airTimeS),
            source?.NumberInAir(_startS, phaseS, airTimeS), source?.TvocInAir(_startS, phaseS, airTimeS));
    }

    /// <summary>The level in the air by the flow; null where it is too short to tell.</summary>
    private LevelsInAir? InAir(double[] flows, SteadyStretch steady, double phaseS, double airTimeS)
    {
        // A print that is one steady stretch but for a lead-in, such as a vase on its base, is judged by the stretch alone.
        var isStretch = steady.LongestS >= RoomSmoothing.MostOfThePrint * phaseS;
        var (from, to) = isStretch ? CellsOf(steady, flows.Length) : (0, flows.Length);
        return RoomSmoothing.Levels(isStretch ? flows[from..to] : flows, Series.CellS, airTimeS) is { } levels ? new(from * Series.CellS, Series.CellS, levels) : null;
    }

    /// <summary>Joins what flow and emission say: the worst grade, and the time that lies on every plateau.</summary>
    private static FlowEvenness WithReading(FlowEvenness flow)
    {
        var fromS = Math.Max(flow.PlateauFromS!.Value, RoomSmoothing.TimeConstantsToForm * flow.PlateauTimeConstantS!.Value);
        var toS = flow.PlateauToS!.Value;
        var grade = flow.FlowGrade!.Value;
        foreach (var agent in new[] { flow.Source?.ParticleNumber, flow.Source?.Tvoc }.OfType<AgentEvenness>())
        {
            fromS = Math.Max(fromS, agent.PlateauFromS);
            toS = Math.Min(toS, agent.PlateauToS);
            grade = agent.Grade > grade ? agent.Grade : grade;
        }

        flow = flow with { Grade = grade };
        return toS > fromS ? flow with { ReadFromS = fromS, ReadToS = toS } : flow;
    }

    private double ShareWithin(double lowMm3PerS, double highMm3PerS)
    {
        var seconds = _distribution.SecondsBelow(highMm3PerS, including: true) - _distribution.SecondsBelow(lowMm3PerS, including: false);
        return Math.Clamp(seconds / _distribution.TotalS, 0, 1);
    }

    private SteadyStretch Steadiest(double lowMm3PerS, double highMm3PerS)
    {
        var stretch = new SteadyStretch(lowMm3PerS, highMm3PerS);
        var volumes = Series.VolumesMm3;
        for (var i = 0; i < volumes.Length; i++)
        {
            // The last cell may end early.
            var seconds = Math.Min(Series.CellS, _endS - i * Series.CellS);
            if (seconds > 0)
            {
                stretch.Add(volumes[i] / seconds, volumes[i] / seconds, seconds);
            }
        }

        return stretch;
    }

    private (int From, int To) CellsOf(SteadyStretch stretch, int count)
    {
        var first = (int)Math.Round((stretch.EndS - stretch.LongestS) / Series.CellS);
        var last = Math.Min(count, (int)Math.Floor(stretch.EndS / Series.CellS + 1e-9));
        return (Math.Min(first, last), last);
    }
}
