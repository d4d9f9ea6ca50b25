// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Number and mass of particles by size: air moves them exactly, coagulation and deposition by size act in half steps before and after.</summary>
/// <remarks>
/// A third moment, the sum of the diameters, travels along and carries the width of the distribution. The step is halved until two halves agree with the
/// whole, and doubled again when they agree far better. Source: symmetric splitting, textbook; air reference, 5.3.
/// </remarks>
internal sealed class ParticleSplitting
{
    // The error of a step falls with its cube, so what is kept, the two halves, is better still.
    private const double Tolerance = 2e-4;
    private const double ToleranceToDouble = Tolerance / 32;

    // Below this no splitting can go wrong by more than the tolerance.
    private const double HardlyAnything = 1e-5;

    private const int MostHalvings = 30;

    // A step that needed no halving by far is not checked again while steps are as short and sticking as slow.
    private const int UncheckedInARow = 8;
    private const double Alike = 1.05;

    // A thousand times what the strongest print gives off into the smallest box: steps get shorter with the root of it, and beyond no size follows from this model.
    private const double MostPerM3S = 1e15;

    private readonly int _zones;
    private readonly double[] _volumesM3;
    private readonly SizeDeposition?[] _depositions;
    private readonly Coagulation _coagulation;
    private readonly double _densityGPerCm3;
    private readonly double _sourceGsd;
    private readonly StepCache _numberSteps;
    private readonly StepCache _massSteps;
    private readonly AirRates _lengthRates;
    private readonly StepCache _lengthSteps;
    private readonly double[] _lengthPerS;
    private readonly double[] _unused;
    private readonly double[] _scratch;
    private State _now;
    private State _whole;
    private State _halves;
    private int _halvings;
    private int _unchecked;
    private (double Seconds, double Sticking) _checked;

    /// <summary>Makes it for a run.</summary>
    /// <param name="model">The air.</param>
    /// <param name="growth">What is known of the particles.</param>
    /// <param name="numberSteps">Exact steps of their number.</param>
    /// <param name="massSteps">Exact steps of their mass.</param>
    public ParticleSplitting(AirModel model, ParticleGrowth growth, StepCache numberSteps, StepCache massSteps)
    {
        _zones = model.Zones.Count;
        _volumesM3 = [.. model.Zones.Select(static z => z.VolumeM3)];
        _depositions = [.. model.Zones.Select(static z => z.DepositionBySize)];
        (_densityGPerCm3, _sourceGsd) = (growth.DensityGPerCm3, growth.SourceGsd);
        _coagulation = new Coagulation(growth.Kernel ?? new LognormalKernel(_densityGPerCm3), _densityGPerCm3);
        (_numberSteps, _massSteps) = (numberSteps, massSteps);
        _lengthRates = new AirRates(model, Agent.ParticleMass, LengthPerH);
        _lengthSteps = new StepCache(_lengthRates);
        (_lengthPerS, _unused, _scratch) = (new double[_zones], new double[_zones], new double[_zones]);
        (_now, _whole, _halves) = (new State(_zones), new State(_zones), new State(_zones));
    }

    /// <summary>Amounts, sources and integrals of one agent in all zones.</summary>
    /// <param name="amounts">Amounts; changed.</param>
    /// <param name="perS">Sources [unit for each s].</param>
    /// <param name="integralS">Integral of the amounts over the step [unit s]; set.</param>
    internal readonly ref struct Agents(Span<double> amounts, ReadOnlySpan<double> perS, Span<double> integralS)
    {
        /// <summary>Amounts in the zones.</summary>
        public Span<double> Amounts { get; } = amounts;

        /// <summary>Sources [unit for each s].</summary>
        public ReadOnlySpan<double> PerS { get; } = perS;

        /// <summary>Integral of the amounts [unit s].</summary>
        public Span<double> IntegralS { get; } = integralS;
    }

    /// <summary>Particles that stuck to others so far.</summary>
    public double Coagulated { get; private set; }

    /// <summary>Steps that were kept so far.</summary>
    public long Steps { get; private set; }

    /// <summary>Sets the rates to those of a time.</summary>
    /// <param name="timeS">Time of the run [s].</param>
    /// <param name="clock">What schedules are counted from.</param>
    public void SetTo(double timeS, RunClock clock)
    {
        _lengthRates.SetTo(timeS, clock);
        _lengthSteps.Clear();
        _unchecked = 0;
    }

    /// <summary>Takes particles that are there already as wide in size as those of the sources.</summary>
    /// <param name="number">Numbers in the zones.</param>
    /// <param name="massUg">Masses in the zones [ug].</param>
    public void StartAt(ReadOnlySpan<double> number, ReadOnlySpan<double> massUg)
    {
        for (var z = 0; z < _zones; z++)
        {
            _now.LengthNm[z] = AerosolMoments.LengthOf(number[z], massUg[z], _sourceGsd, _densityGPerCm3);
        }
    }

    /// <summary>Sizes in a zone; null where there are no particles.</summary>
    /// <param name="zone">Index of the zone.</param>
    /// <param name="number">Numbers in the zones.</param>
    /// <param name="massUg">Masses in the zones [ug].</param>
    public ParticleSize? SizeIn(int zone, ReadOnlySpan<double> number, ReadOnlySpan<double> massUg)
    {
        var moments = new AerosolMoments(number[zone], massUg[zone], _now.LengthNm[zone]);
        return moments.IsEmpty ? null : moments.Size(_densityGPerCm3);
    }

    /// <summary>Advances by a time with constant sources.</summary>
    /// <param name="seconds">Length [s], over 0.</param>
    /// <param name="number">Their number.</param>
    /// <param name="mass">Their mass [ug].</param>
    /// <returns>Number and mass [ug] that settled on surfaces by size.</returns>
    /// <exception cref="ArgumentException">A source gives off number without mass or mass without number, which leaves the size open, or more than 1e15 for each m3 and s.</exception>
    public (double Number, double MassUg) Advance(double seconds, Agents number, Agents mass)
    {
        for (var z = 0; z < _zones; z++)
        {
            if (number.PerS[z] > 0 != mass.PerS[z] > 0)
            {
                throw new ArgumentException("a source of particles that are followed by size needs both number and mass");
            }

            if (!(number.PerS[z] <= MostPerM3S * _volumesM3[z]))
            {
                throw new ArgumentException("a source gives off more than 1e9 particles for each cm3 of its zone and second");
            }

            _lengthPerS[z] = AerosolMoments.LengthOf(number.PerS[z], mass.PerS[z], _sourceGsd, _densityGPerCm3);
        }

        _now.Begin(number.Amounts, mass.Amounts);
        var sticking = FastestPerS(number.PerS, mass.PerS, seconds) * seconds;
        if (sticking < HardlyAnything || (_unchecked > 0 && seconds <= Alike * _checked.Seconds && sticking <= Alike * _checked.Sticking))
        {
            Split(_now, number.PerS, mass.PerS, seconds);
            Steps++;
            _unchecked--;
        }
        else
        {
            _unchecked = AdvanceWithCare(seconds, number.PerS, mass.PerS) ? UncheckedInARow : 0;
            _checked = (seconds, sticking);
        }

        _now.Number.CopyTo(number.Amounts);
        _now.Mass.CopyTo(mass.Amounts);
        _now.NumberIntegralS.CopyTo(number.IntegralS);
        _now.MassIntegralS.CopyTo(mass.IntegralS);
        Coagulated += _now.Coagulated;
        return (_now.SettledNumber, _now.SettledMassUg);
    }

    // Returns whether one step would have done by far.
    private bool AdvanceWithCare(double seconds, ReadOnlySpan<double> numberPerS, ReadOnlySpan<double> massPerS)
    {
        var wasWhole = _halvings == 0;
        var error = 0.0;
        var (done, count) = (0L, 1L << _halvings);
        while (done < count)
        {
            var length = seconds / count;
            _whole.CopyFrom(_now);
            Split(_whole, numberPerS, massPerS, length);
            _halves.CopyFrom(_now);
            Split(_halves, numberPerS, massPerS, length / 2);
            Split(_halves, numberPerS, massPerS, length / 2);
            error = Difference(_whole, _halves);
            if (!(error <= Tolerance) && _halvings < MostHalvings)
            {
                _halvings++;
                (done, count) = (done * 2, count * 2);
                continue;
            }

            (_now, _halves) = (_halves, _now);
            done++;
            Steps++;
            if (error < ToleranceToDouble && _halvings > 0 && done % 2 == 0)
            {
                _halvings--;
                (done, count) = (done / 2, count / 2);
            }
        }

        return wasWhole && _halvings == 0 && error < ToleranceToDouble;
    }

    private void Split(State state, ReadOnlySpan<double> numberPerS, ReadOnlySpan<double> massPerS, double seconds)
    {
        Settle(state, seconds / 2);
        _numberSteps.Of(seconds).Take(state.Number, numberPerS, state.NumberIntegralS, _scratch);
        _massSteps.Of(seconds).Take(state.Mass, massPerS, state.MassIntegralS, _scratch);
        _lengthSteps.Of(seconds).Take(state.LengthNm, _lengthPerS, _unused, _scratch);
        Settle(state, seconds / 2);
    }

    private void Settle(State state, double seconds)
    {
        for (var z = 0; z < _zones; z++)
        {
            var volume = _volumesM3[z];
            var moments = new AerosolMoments(state.Number[z] / volume, state.Mass[z] / volume, state.LengthNm[z] / volume);
            if (moments.IsEmpty)
            {
                continue;
            }

            var lost = _coagulation.Advance(ref moments, seconds, _depositions[z]);
            var (coagulated, settled) = (lost.Coagulated * volume, lost.DepositedNumber * volume);
            state.Coagulated += coagulated;
            state.SettledNumber += settled;
            state.Number[z] = moments.NumberPerM3 * volume;
            state.Mass[z] = moments.MassUgPerM3 * volume;
            state.SettledMassUg += lost.DepositedMassUg * volume;
            state.LengthNm[z] = moments.LengthNmPerM3 * volume;
        }
    }

    private double FastestPerS(ReadOnlySpan<double> numberPerS, ReadOnlySpan<double> massPerS, double seconds)
    {
        var fastest = 0.0;
        for (var z = 0; z < _zones; z++)
        {
            var volume = _volumesM3[z];
            var moments = new AerosolMoments(
                (_now.Number[z] + numberPerS[z] * seconds) / volume,
                (_now.Mass[z] + massPerS[z] * seconds) / volume,
                (_now.LengthNm[z] + _lengthPerS[z] * seconds) / volume);
            fastest = Math.Max(fastest, _coagulation.FastestPerS(moments, _depositions[z]));
        }

        return fastest;
    }

    // A zone that holds a millionth of all need not be right by itself.
    private static double Difference(State one, State other)
    {
        var (numberInAll, massInAll, difference) = (0.0, 0.0, 0.0);
        for (var z = 0; z < other.Number.Length; z++)
        {
            numberInAll += other.Number[z];
            massInAll += other.Mass[z];
        }

        for (var z = 0; z < other.Number.Length; z++)
        {
            difference = Math.Max(difference, Math.Abs(one.Number[z] - other.Number[z]) / (other.Number[z] + 1e-6 * numberInAll + double.Epsilon));
            difference = Math.Max(difference, Math.Abs(one.Mass[z] - other.Mass[z]) / (other.Mass[z] + 1e-6 * massInAll + double.Epsilon));
        }

        return difference;
    }

    // Deposition by a power of the diameter takes moments at rates in a geometric row, whatever the power; diameters are a third of the way from number to mass.
    internal static double LengthPerH(Zone zone)
    {
        var (number, mass) = (zone.DepositionPerH.Of(Agent.ParticleNumber), zone.DepositionPerH.Of(Agent.ParticleMass));
        return Math.Cbrt(number) * Math.Cbrt(number) * Math.Cbrt(mass);
    }

    private sealed class State(int zones)
    {
        public double[] Number { get; } = new double[zones];

        public double[] Mass { get; } = new double[zones];

        public double[] LengthNm { get; } = new double[zones];

        public double[] NumberIntegralS { get; } = new double[zones];

        public double[] MassIntegralS { get; } = new double[zones];

        public double SettledNumber { get; set; }

        public double SettledMassUg { get; set; }

        public double Coagulated { get; set; }

        public void Begin(ReadOnlySpan<double> number, ReadOnlySpan<double> massUg)
        {
            number.CopyTo(Number);
            massUg.CopyTo(Mass);
            Array.Clear(NumberIntegralS);
            Array.Clear(MassIntegralS);
            (SettledNumber, SettledMassUg, Coagulated) = (0, 0, 0);
        }

        public void CopyFrom(State other)
        {
            other.Number.CopyTo(Number, 0);
            other.Mass.CopyTo(Mass, 0);
            other.LengthNm.CopyTo(LengthNm, 0);
            other.NumberIntegralS.CopyTo(NumberIntegralS, 0);
            other.MassIntegralS.CopyTo(MassIntegralS, 0);
            (SettledNumber, SettledMassUg, Coagulated) = (other.SettledNumber, other.SettledMassUg, other.Coagulated);
        }
    }
}
