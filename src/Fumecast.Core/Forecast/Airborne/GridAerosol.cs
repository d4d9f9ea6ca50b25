// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Follows particles by size over a grid, with coagulation: coarser than <see cref="AirRun"/>, for draws that are held against the middle on the same grid. Used again from draw to draw.</summary>
/// <remarks>
/// <para>One zone takes each cell at once, its number in closed form (<see cref="StirredNumber"/>) with the kernel of the sizes meanwhile. Several take a cell apart: half a step of air, a step of coagulation
/// and deposition by size, half a step of air, so often that no more than a part of the particles sticks in one step; zones where fewer do take part in fewer of the steps.</para>
/// <para>Where that would be too often, as in the cells of hours that a print of weeks has, what comes in from other zones counts as even over the cell, and follows from the losses by sticking
/// that the levels lead to; the level of each zone is then again in closed form, until both agree. The work for a cell is bounded then, and levels that settle in are right however long it lasts.</para>
/// </remarks>
internal sealed class GridAerosol
{
    private const double MostStuck = 0.4;
    private const int MostCuts = 2;
    private const int MostRounds = 12;
    private const double Agreed = 1e-3;
    private const double MostKernelM3PerS = 5e-15;
    private const double HardlyAnything = 1e-3;
    private const double SameSize = 1e-7;

    // Mean masses so close, and diameters by a third of it, have one kernel and one deposition, to 0.3 %, and one share that is seen, to 1 % where hardly anything is.
    private const double SameRates = 1e-2;
    private const double SameSight = 1e-3;

    private readonly AirGrid _grid;
    private readonly int _zones;
    private readonly ICoagulationRate _kernel;
    private readonly GridSteps[] _steps;
    private readonly double[] _now;
    private readonly double[] _perS;
    private readonly double[] _integralS;
    private readonly double[] _scratch;
    private readonly ZoneState[] _states;
    private readonly double[] _stickingPerS;
    private readonly double[] _massEnd;
    private readonly double[] _massIntegralS;
    private readonly double[] _comesPerS;
    private readonly double[] _mean;
    private readonly double[] _stays;
    private readonly double[] _fills;
    private readonly double[] _matrix;
    private readonly double[] _massLossPerS;
    private readonly (double End, double Mean)[] _numberPerM3;
    private readonly double[] _endLength;
    private AirRates[] _rates = [];
    private Coagulation _coagulation = null!;
    private double _densityGPerCm3;
    private double _gsd;
    private bool _depositsBySize;
    private double _lastMeanMass = double.NaN;
    private double _lastLengthPerParticle;

    /// <summary>Makes it for a grid.</summary>
    /// <param name="grid">The grid.</param>
    /// <param name="zones">Number of zones.</param>
    /// <param name="kernel">How fast particles meet.</param>
    public GridAerosol(AirGrid grid, int zones, ICoagulationRate kernel)
    {
        (_grid, _zones, _kernel) = (grid, zones, kernel);
        _steps = [new GridSteps(zones), new GridSteps(zones), new GridSteps(zones)];
        (_now, _perS, _integralS, _scratch) = (new double[3 * zones], new double[3 * zones], new double[3 * zones], new double[zones]);
        _states = new ZoneState[zones];
        (_stickingPerS, _massLossPerS, _endLength) = (new double[zones], new double[zones], new double[zones]);
        (_massEnd, _massIntegralS, _numberPerM3) = (new double[zones], new double[zones], new (double, double)[zones]);
        (_comesPerS, _mean, _stays, _fills, _matrix) = (new double[zones], new double[zones], new double[zones], new double[zones], new double[zones * zones]);
    }

    /// <summary>Follows number and mass.</summary>
    /// <param name="model">The air, without background, with <see cref="AirModel.Particles"/>.</param>
    /// <param name="clock">What schedules are counted from.</param>
    /// <param name="numbers">Numbers given off, cell by cell, zone by zone.</param>
    /// <param name="massesUg">Masses [ug], likewise.</param>
    /// <param name="number">Takes the levels by number.</param>
    /// <param name="mass">Takes the levels by mass.</param>
    /// <param name="visible">Takes the levels of mass above <see cref="Agent.VisibleFromNm"/>.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Follow(AirModel model, RunClock clock, double[] numbers, double[] massesUg, GridLevels number, GridLevels mass, GridLevels visible)
    {
        Begin(model, clock);
        for (var cell = 0; cell < _grid.Cells; cell++)
        {
            if (!double.IsNaN(_grid.ChangeAt[cell]))
            {
                SetTo(_grid.ChangeAt[cell], clock);
            }

            var seconds = _grid.Seconds(cell);
            for (var i = 0; i < _zones; i++)
            {
                var (n, m) = (numbers[cell * _zones + i], massesUg[cell * _zones + i]);
                (_perS[i], _perS[_zones + i], _perS[2 * _zones + i]) = (n / seconds, m / seconds, LengthOf(n, m) / seconds);
            }

            if (_zones == 1)
            {
                TakeAlone(_grid.Halvings(cell), seconds);
            }
            else
            {
                TakeSeveral(_grid.Halvings(cell), seconds);
            }

            for (var i = 0; i < _zones; i++)
            {
                ref var state = ref _states[i];
                var volumeM3 = state.VolumeM3;
                var levels = mass.PerM3(i);
                var doses = mass.DoseSPerM3(i);
                number.PerM3(i)[cell + 1] = _now[i] / volumeM3;
                number.DoseSPerM3(i)[cell + 1] = _integralS[i] / volumeM3;
                levels[cell + 1] = _now[_zones + i] / volumeM3;
                doses[cell + 1] = _integralS[_zones + i] / volumeM3;
                var before = state.ShareSeen;
                See(ref state, i);
                visible.PerM3(i)[cell + 1] = state.ShareSeen * levels[cell + 1];
                visible.DoseSPerM3(i)[cell + 1] = visible.DoseSPerM3(i)[cell] + ((before > 0 ? before : state.ShareSeen) + state.ShareSeen) / 2 * (doses[cell + 1] - doses[cell]);
            }
        }
    }

    private void Begin(AirModel model, RunClock clock)
    {
        (_densityGPerCm3, _gsd, _lastMeanMass) = (model.Particles!.DensityGPerCm3, model.Particles.SourceGsd, double.NaN);
        _coagulation = new Coagulation(_kernel, _densityGPerCm3);
        var (number, mass) = (new AirRates(model, Agent.ParticleNumber), new AirRates(model, Agent.ParticleMass));
        _rates = model.CarriesAlike(Agent.ParticleNumber, Agent.ParticleMass) ? [number] : [number, mass, new AirRates(model, Agent.ParticleMass, ParticleSplitting.LengthPerH)];
        _depositsBySize = model.Zones.Any(static zone => zone.DepositionBySize is not null);
        Array.Clear(_now);
        Array.Clear(_integralS);
        for (var i = 0; i < _zones; i++)
        {
            _states[i] = new ZoneState { VolumeM3 = model.Zones[i].VolumeM3, Deposition = model.Zones[i].DepositionBySize, MeetingM3PerS = MostKernelM3PerS / 2 };
        }

        SetTo(0, clock);
    }

    private void SetTo(double timeS, RunClock clock)
    {
        for (var i = 0; i < _rates.Length; i++)
        {
            _rates[i].SetTo(timeS, clock);
            _steps[i].Clear();
        }

        for (var i = 0; i < _zones; i++)
        {
            _states[i].LossPerS = -_rates[0].PerS[i * _zones + i];
        }
    }

    // Sources of one kind of particle have one mean mass, so the root is seldom asked for.
    private double LengthOf(double number, double massUg)
    {
        if (!(number > 0))
        {
            return 0;
        }

        var mean = massUg / number;
        if (!(Math.Abs(mean - _lastMeanMass) <= SameSize * mean))
        {
            (_lastMeanMass, _lastLengthPerParticle) = (mean, AerosolMoments.LengthOf(1, mean, _gsd, _densityGPerCm3));
        }

        return number * _lastLengthPerParticle;
    }

    private AirRates RatesOf(int moment) => _rates[Math.Min(moment, _rates.Length - 1)];

    private bool HardlyAnySticks(in ZoneState state, int zone, double seconds) => state.Deposition is null
        && MostKernelM3PerS * (_now[zone] + _perS[zone] * Math.Min(seconds, 1 / Math.Max(state.LossPerS, double.Epsilon))) / state.VolumeM3 < HardlyAnything * state.LossPerS;

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void TakeAlone(int halvings, double seconds)
    {
        ref var state = ref _states[0];
        if (HardlyAnySticks(in state, 0, seconds))
        {
            Move(halvings, seconds);
            return;
        }

        // The kernel is that of the beginning and of the end, which lasts where much sticks: found by going over the cell again, where it matters.
        var volumeM3 = state.VolumeM3;
        var (length, mass) = (_now[2], _now[1]);
        var fed = new AerosolMoments((_now[0] + _perS[0] * seconds) / volumeM3, (mass + _perS[1] * seconds) / volumeM3, (length + _perS[2] * seconds) / volumeM3);
        if (fed.IsEmpty)
        {
            state.Rates = null;
            Move(halvings, seconds);
            return;
        }

        var rates = state.Rates ?? SizedRates(ref state, in fed);
        var (massAfter, massIntegral) = (0.0, 0.0);
        (double End, double Mean) number = default;
        var lengthAfter = 0.0;
        var held = rates;
        for (var round = 0; ; round++)
        {
            number = StirredNumber.After(_now[0] / volumeM3, _perS[0] / volumeM3, state.LossPerS + held.NumberPerS, held.MeetingM3PerS, seconds);
            lengthAfter = Filled(length, _perS[2], -RatesOf(2).PerS[0] + held.LengthPerS + held.LengthPower * held.MeetingM3PerS * number.Mean, seconds);
            if (round == 0 || state.Deposition is not null)
            {
                (massAfter, massIntegral) = MassAlone(halvings, seconds, held.MassPerS);
            }

            var moments = new AerosolMoments(number.End, massAfter / volumeM3, lengthAfter / volumeM3);
            if (moments.IsEmpty)
            {
                state.Rates = null;
                break;
            }

            var after = SizedRates(ref state, in moments);
            var stuck = (held.MeetingM3PerS * number.Mean + held.NumberPerS) * seconds;
            var next = Coagulation.Rates.Between(in rates, in after, stuck);
            if (round == 3 || !(Math.Abs(next.MeetingM3PerS - held.MeetingM3PerS) * Math.Min(1, stuck) > 0.01 * held.MeetingM3PerS))
            {
                break;
            }

            held = next;
        }

        state.MeetingM3PerS = held.MeetingM3PerS;
        (_now[0], _now[1], _now[2]) = (number.End * volumeM3, massAfter, lengthAfter);
        _integralS[0] += number.Mean * volumeM3 * seconds;
        _integralS[1] += massIntegral;
    }

    private Coagulation.Rates SizedRates(ref ZoneState state, in AerosolMoments moments)
    {
        var (mass, length) = (moments.MassUgPerM3 / moments.NumberPerM3, moments.MeanNm);
        if (state.Rates is not { } rates || Math.Abs(mass - state.RatedMass) > SameRates * mass || Math.Abs(length - state.RatedLength) > SameRates / 3 * length)
        {
            rates = _coagulation.RatesOf(in moments, state.Deposition);
            (state.Rates, state.RatedMass, state.RatedLength) = (rates, mass, length);
        }

        return rates;
    }

    private (double After, double IntegralS) MassAlone(int halvings, double seconds, double bySizePerS)
    {
        if (bySizePerS > 0)
        {
            var (stays, mean, filling) = Decay.All((-RatesOf(1).PerS[0] + bySizePerS) * seconds);
            return (_now[1] * stays + _perS[1] * seconds * mean, (_now[1] * mean + _perS[1] * seconds * filling) * seconds);
        }

        Span<double> after = [_now[1]];
        Span<double> integralS = [0];
        StepOf(1, halvings, seconds).Take(after, _perS.AsSpan(1, 1), integralS, _scratch);
        return (after[0], integralS[0]);
    }

    private void TakeSeveral(int halvings, double seconds)
    {
        var cuts = 0;
        for (var i = 0; i < _zones; i++)
        {
            ref var state = ref _states[i];
            var meetingPerS = state.MeetingM3PerS / state.VolumeM3;
            var stuck = meetingPerS * Expected(_now[i], _perS[i], meetingPerS, seconds) * seconds;
            state.Cuts = stuck > MostStuck ? Math.Min(30, Math.ILogB(stuck / MostStuck) + 1) : 0;
            cuts = Math.Max(cuts, state.Cuts);
        }

        if (cuts > MostCuts)
        {
            TakeTogether(halvings, seconds);
            return;
        }

        var steps = 1 << cuts;
        var length = seconds / steps;
        Move(halvings + cuts + 1, length / 2);
        for (var s = 0; s < steps; s++)
        {
            for (var i = 0; i < _zones; i++)
            {
                // A zone where little sticks takes part in the middle of several steps at once.
                var stride = 1 << (cuts - _states[i].Cuts);
                if ((s & (stride - 1)) == stride / 2)
                {
                    Settle(i, stride * length);
                }
            }

            var isLast = s + 1 == steps;
            Move(halvings + cuts + (isLast ? 1 : 0), isLast ? length / 2 : length);
        }
    }

    // A whole cell at once, with the losses by sticking and by size that its own levels lead to.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void TakeTogether(int halvings, double seconds)
    {
        var z = _zones;
        for (var i = 0; i < z; i++)
        {
            ref var state = ref _states[i];
            var moments = Moments(in state, _now[i] + _perS[i] * seconds, _now[z + i] + _perS[z + i] * seconds, _now[2 * z + i] + _perS[2 * z + i] * seconds);
            var before = Moments(in state, _now[i], _now[z + i], _now[2 * z + i]);
            state.Before = moments.IsEmpty ? default : _coagulation.RatesOf(before.IsEmpty ? moments : before, state.Deposition);
            state.Held = state.Before;
            var meetingPerS = state.Held.MeetingM3PerS / state.VolumeM3;
            _stickingPerS[i] = meetingPerS * Expected(_now[i], _perS[i], meetingPerS, seconds) + state.Held.NumberPerS;
            _endLength[i] = _now[2 * z + i];
        }

        for (var round = 0; round < MostRounds; round++)
        {
            Exchange(0, _stickingPerS, seconds);
            var difference = 0.0;
            for (var i = 0; i < z; i++)
            {
                ref var state = ref _states[i];
                var comesLength = _perS[2 * z + i];
                for (var j = 0; j < z; j++)
                {
                    comesLength += j == i ? 0 : RatesOf(2).PerS[i * z + j] * _mean[j] * MeanLength(j);
                }

                var held = state.Held;
                var number = StirredNumber.After(_now[i] / state.VolumeM3, _comesPerS[i] / state.VolumeM3, state.LossPerS + held.NumberPerS, held.MeetingM3PerS, seconds);
                _numberPerM3[i] = number;
                _endLength[i] = Filled(_now[2 * z + i], comesLength, -RatesOf(2).PerS[i * z + i] + held.LengthPerS + held.LengthPower * held.MeetingM3PerS * number.Mean, seconds);
                var sticking = held.MeetingM3PerS * number.Mean + held.NumberPerS;
                difference = Math.Max(difference, Math.Abs(sticking - _stickingPerS[i]) * seconds / (1 + sticking * seconds));

                // The middle of the two by logarithms: each alone would overshoot where sticking is most of what is lost.
                _stickingPerS[i] = _stickingPerS[i] > 0 ? Math.Sqrt(_stickingPerS[i] * sticking) : sticking;
                _massLossPerS[i] = held.MassPerS;
            }

            TakeMass(halvings, seconds);
            for (var i = 0; i < z; i++)
            {
                ref var state = ref _states[i];
                var moments = Moments(in state, _numberPerM3[i].End * state.VolumeM3, _massEnd[i], _endLength[i]);
                if (!moments.IsEmpty)
                {
                    var after = _coagulation.RatesOf(in moments, state.Deposition);
                    var next = Coagulation.Rates.Between(in state.Before, in after, _stickingPerS[i] * seconds);
                    difference = Math.Max(difference, Math.Abs(next.MeetingM3PerS - state.Held.MeetingM3PerS) / next.MeetingM3PerS);
                    state.Held = next;
                }
            }

            if (difference < Agreed)
            {
                break;
            }
        }

        for (var i = 0; i < z; i++)
        {
            ref var state = ref _states[i];
            state.MeetingM3PerS = state.Held.MeetingM3PerS;
            _now[i] = _numberPerM3[i].End * state.VolumeM3;
            _integralS[i] += _numberPerM3[i].Mean * state.VolumeM3 * seconds;
            _now[z + i] = _massEnd[i];
            _integralS[z + i] += _massIntegralS[i];
            _now[2 * z + i] = _endLength[i];
        }

        double MeanLength(int zone) => _endLength[zone] > 0 && _numberPerM3[zone].End > 0
            ? _endLength[zone] / (_numberPerM3[zone].End * _states[zone].VolumeM3)
            : _perS[zone] > 0 ? _perS[2 * z + zone] / _perS[zone] : 0;
    }

    // Mass does not stick: exact, unless it deposits by size.
    private void TakeMass(int halvings, double seconds)
    {
        _now.AsSpan(_zones, _zones).CopyTo(_massEnd);
        Array.Clear(_massIntegralS);
        if (!_depositsBySize)
        {
            StepOf(1, halvings, seconds).Take(_massEnd, _perS.AsSpan(_zones, _zones), _massIntegralS, _scratch);
            return;
        }

        Exchange(1, _massLossPerS, seconds);
        for (var i = 0; i < _zones; i++)
        {
            _massEnd[i] = Filled(_massEnd[i], _comesPerS[i], -RatesOf(1).PerS[i * _zones + i] + _massLossPerS[i], seconds);
            _massIntegralS[i] = _mean[i] * seconds;
        }
    }

    // What comes into each zone, and what it holds, as means over a cell, with further losses: each zone in closed form of what comes in evenly, all of them solved together.
    private void Exchange(int moment, double[] furtherPerS, double seconds)
    {
        var (z, at, perS) = (_zones, moment * _zones, RatesOf(moment).PerS);
        for (var j = 0; j < z; j++)
        {
            var x = (-perS[j * z + j] + furtherPerS[j]) * seconds;
            (_stays[j], _fills[j]) = (_now[at + j] * Decay.Mean(x), seconds * Decay.MeanOfFilling(x));
        }

        for (var i = 0; i < z; i++)
        {
            _comesPerS[i] = _perS[at + i];
            for (var j = 0; j < z; j++)
            {
                _comesPerS[i] += j == i ? 0 : perS[i * z + j] * _stays[j];
                _matrix[i * z + j] = j == i ? 1 : -perS[i * z + j] * _fills[j];
            }
        }

        // No zone hands on more than it holds, so the diagonal is the largest of each column: elimination needs no exchange of rows.
        for (var k = 0; k < z; k++)
        {
            for (var i = k + 1; i < z; i++)
            {
                if (_matrix[i * z + k] is not 0 and var below)
                {
                    var factor = below / _matrix[k * z + k];
                    for (var j = k + 1; j < z; j++)
                    {
                        _matrix[i * z + j] -= factor * _matrix[k * z + j];
                    }

                    _comesPerS[i] -= factor * _comesPerS[k];
                }
            }
        }

        for (var i = z - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < z; j++)
            {
                _comesPerS[i] -= _matrix[i * z + j] * _comesPerS[j];
            }

            _comesPerS[i] /= _matrix[i * z + i];
            _mean[i] = _stays[i] + _fills[i] * _comesPerS[i];
        }
    }

    private static AerosolMoments Moments(in ZoneState state, double number, double massUg, double lengthNm) =>
        new(number / state.VolumeM3, massUg / state.VolumeM3, lengthNm / state.VolumeM3);

    private static double Filled(double amount, double perS, double lossPerS, double seconds)
    {
        var x = lossPerS * seconds;
        var stays = Math.Exp(-x);
        return amount * stays + perS * seconds * (x > 1e-5 ? (1 - stays) / x : 1 - x * (0.5 - x / 6));
    }

    // What coagulation leaves of a source at the least, so that a strong one in a small box is not cut for numbers that never come about.
    private static double Expected(double number, double perS, double meetingPerVolume, double seconds) =>
        number + Math.Min(perS * seconds, perS > 0 ? Math.Sqrt(perS / Math.Max(meetingPerVolume, double.Epsilon)) : 0);

    private ExactStep StepOf(int moment, int halvings, double seconds)
    {
        var at = Math.Min(moment, _rates.Length - 1);
        return _steps[at].Of(_rates[at], halvings, seconds);
    }

    private void Move(int halvings, double seconds)
    {
        for (var moment = 0; moment < 3; moment++)
        {
            StepOf(moment, halvings, seconds).Take(
                _now.AsSpan(moment * _zones, _zones), _perS.AsSpan(moment * _zones, _zones), _integralS.AsSpan(moment * _zones, _zones), _scratch);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Settle(int zone, double seconds)
    {
        ref var state = ref _states[zone];
        if (state.Deposition is null && MostKernelM3PerS * _now[zone] / state.VolumeM3 < HardlyAnything * state.LossPerS)
        {
            return;
        }

        var moments = Moments(in state, _now[zone], _now[_zones + zone], _now[2 * _zones + zone]);
        if (moments.IsEmpty)
        {
            return;
        }

        // Those of its beginning: right to the first order of the time.
        var rates = SizedRates(ref state, in moments);
        Coagulation.Advance(ref moments, seconds, in rates);
        state.MeetingM3PerS = rates.MeetingM3PerS;
        _now[zone] = moments.NumberPerM3 * state.VolumeM3;
        _now[_zones + zone] = moments.MassUgPerM3 * state.VolumeM3;
        _now[2 * _zones + zone] = moments.LengthNmPerM3 * state.VolumeM3;
    }

    // Air that thins out alike leaves the sizes as they are.
    private void See(ref ZoneState state, int zone)
    {
        var moments = new AerosolMoments(_now[zone], _now[_zones + zone], _now[2 * _zones + zone]);
        if (moments.IsEmpty)
        {
            state.ShareSeen = 0;
            return;
        }

        var (mass, length) = (moments.MassUgPerM3 / moments.NumberPerM3, moments.MeanNm);
        if (Math.Abs(mass - state.SeenMass) > SameSight * mass || Math.Abs(length - state.SeenLength) > SameSight / 3 * length || !(state.ShareSeen > 0))
        {
            (state.SeenMass, state.SeenLength) = (mass, length);
            state.ShareSeen = moments.MassShareAbove(Agent.VisibleFromNm, _densityGPerCm3);
        }
    }

    private struct ZoneState
    {
        public double VolumeM3;
        public SizeDeposition? Deposition;
        public double LossPerS;
        public double MeetingM3PerS;
        public int Cuts;
        public Coagulation.Rates? Rates;
        public double RatedMass;
        public double RatedLength;
        public Coagulation.Rates Before;
        public Coagulation.Rates Held;
        public double ShareSeen;
        public double SeenMass;
        public double SeenLength;
    }
}
