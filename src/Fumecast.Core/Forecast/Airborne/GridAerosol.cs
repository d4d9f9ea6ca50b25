// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Air;

namespace Fumecast.Forecast;

/// <summary>Follows particles by size over a grid, with coagulation: coarser than <see cref="AirRun"/>, for draws that are held against the middle on the same grid.</summary>
/// <remarks>
/// Half a step of air, a step of coagulation and deposition by size, half a step of air. A cell is cut so that no more than a part of the particles sticks in one
/// step, and zones where fewer do take part in fewer of the steps. Where next to nothing coagulates and nothing deposits by size, the middle part is left out.
/// </remarks>
internal sealed class GridAerosol
{
    private const double MostStuck = 0.4;

    // A print of a week has cells of hours: beyond this the strongest draws come out too high, by up to some 40 %, rather than take seconds.
    private const int MostCuts = 6;
    private const double MostKernelM3PerS = 5e-15;
    private const double HardlyAnything = 1e-3;

    private readonly AirModel _model;
    private readonly int _zones;
    private readonly AirRates[] _rates;
    private readonly StepCache[] _steps;
    private readonly Coagulation _coagulation;
    private readonly double _densityGPerCm3;
    private readonly double _gsd;

    /// <summary>Readies a run.</summary>
    /// <param name="model">The air, without background, with <see cref="AirModel.Particles"/>.</param>
    /// <param name="kernel">How fast particles meet.</param>
    public GridAerosol(AirModel model, ICoagulationRate kernel)
    {
        _model = model;
        _zones = model.Zones.Count;
        (_densityGPerCm3, _gsd) = (model.Particles!.DensityGPerCm3, model.Particles.SourceGsd);
        _coagulation = new Coagulation(kernel, _densityGPerCm3);
        var (number, mass) = (new AirRates(model, Agent.ParticleNumber), new AirRates(model, Agent.ParticleMass));
        _rates = model.CarriesAlike(Agent.ParticleNumber, Agent.ParticleMass) ? [number] : [number, mass, new AirRates(model, Agent.ParticleMass, ParticleSplitting.LengthPerH)];
        _steps = Array.ConvertAll(_rates, static rates => new StepCache(rates));
    }

    /// <summary>Follows number and mass.</summary>
    /// <param name="grid">The grid.</param>
    /// <param name="clock">What schedules are counted from.</param>
    /// <param name="numbers">Numbers given off, cell by cell, zone by zone.</param>
    /// <param name="massesUg">Masses [ug], likewise.</param>
    /// <param name="number">Takes the levels by number.</param>
    /// <param name="mass">Takes the levels by mass.</param>
    /// <param name="visible">Takes the levels of mass above <see cref="Agent.VisibleFromNm"/>.</param>
    public void Follow(AirGrid grid, RunClock clock, double[] numbers, double[] massesUg, GridLevels number, GridLevels mass, GridLevels visible)
    {
        var z = _zones;
        Span<double> now = stackalloc double[3 * z];
        Span<double> perS = stackalloc double[3 * z];
        Span<double> integralS = stackalloc double[3 * z];
        Span<double> scratch = stackalloc double[z];
        Span<double> meeting = stackalloc double[z];
        Span<double> lossPerS = stackalloc double[z];
        Span<double> share = stackalloc double[z];
        Span<int> cutsOf = stackalloc int[z];
        now.Clear();
        integralS.Clear();
        share.Clear();
        meeting.Fill(MostKernelM3PerS / 2);
        SetTo(0, clock, lossPerS);
        for (var cell = 0; cell < grid.Cells; cell++)
        {
            if (!double.IsNaN(grid.ChangeAt[cell]))
            {
                SetTo(grid.ChangeAt[cell], clock, lossPerS);
            }

            var seconds = grid.Seconds(cell);
            var cuts = 0;
            for (var i = 0; i < z; i++)
            {
                var (n, m) = (numbers[cell * z + i], massesUg[cell * z + i]);
                (perS[i], perS[z + i], perS[2 * z + i]) = (n / seconds, m / seconds, AerosolMoments.LengthOf(n, m, _gsd, _densityGPerCm3) / seconds);
                var stuck = meeting[i] * Expected(now[i], perS[i], meeting[i] / _model.Zones[i].VolumeM3, seconds) / _model.Zones[i].VolumeM3 * seconds;
                cutsOf[i] = stuck > MostStuck ? Math.Min(MostCuts, Math.ILogB(stuck / MostStuck) + 1) : 0;
                cuts = Math.Max(cuts, cutsOf[i]);
            }

            var steps = 1 << cuts;
            var length = seconds / steps;
            Move(length / 2, now, perS, integralS, scratch);
            for (var s = 0; s < steps; s++)
            {
                for (var i = 0; i < z; i++)
                {
                    // A zone where little sticks takes part in the middle of several steps at once.
                    var stride = 1 << (cuts - cutsOf[i]);
                    if ((s & (stride - 1)) == stride / 2)
                    {
                        Settle(i, stride * length, now, meeting, lossPerS[i]);
                    }
                }

                Move(s + 1 < steps ? length : length / 2, now, perS, integralS, scratch);
            }

            for (var i = 0; i < z; i++)
            {
                var volumeM3 = _model.Zones[i].VolumeM3;
                number.PerM3(i)[cell + 1] = now[i] / volumeM3;
                mass.PerM3(i)[cell + 1] = now[z + i] / volumeM3;
                number.DoseSPerM3(i)[cell + 1] = integralS[i] / volumeM3;
                mass.DoseSPerM3(i)[cell + 1] = integralS[z + i] / volumeM3;
                var moments = new AerosolMoments(now[i], now[z + i], now[2 * z + i]);
                var seen = moments.IsEmpty ? 0 : moments.Size(_densityGPerCm3).MassShareAbove(Agent.VisibleFromNm);
                visible.PerM3(i)[cell + 1] = seen * mass.PerM3(i)[cell + 1];
                visible.DoseSPerM3(i)[cell + 1] = visible.DoseSPerM3(i)[cell] + ((share[i] > 0 ? share[i] : seen) + seen) / 2 * (mass.DoseSPerM3(i)[cell + 1] - mass.DoseSPerM3(i)[cell]);
                share[i] = seen;
            }
        }
    }

    // What coagulation leaves of a source at the least, so that a strong one in a small box is not cut for numbers that never come about.
    private static double Expected(double number, double perS, double meetingPerVolume, double seconds) =>
        number + Math.Min(perS * seconds, perS > 0 ? Math.Sqrt(perS / Math.Max(meetingPerVolume, double.Epsilon)) : 0);

    private void Move(double seconds, Span<double> now, ReadOnlySpan<double> perS, Span<double> integralS, Span<double> scratch)
    {
        for (var moment = 0; moment < 3; moment++)
        {
            _steps[Math.Min(moment, _steps.Length - 1)].Of(seconds).Take(
                now.Slice(moment * _zones, _zones), perS.Slice(moment * _zones, _zones), integralS.Slice(moment * _zones, _zones), scratch);
        }
    }

    private void Settle(int zone, double seconds, Span<double> now, Span<double> meeting, double lossPerS)
    {
        var (volumeM3, bySize) = (_model.Zones[zone].VolumeM3, _model.Zones[zone].DepositionBySize);
        var level = now[zone] / volumeM3;
        if (bySize is null && MostKernelM3PerS * level < HardlyAnything * lossPerS)
        {
            return;
        }

        var moments = new AerosolMoments(level, now[_zones + zone] / volumeM3, now[2 * _zones + zone] / volumeM3);
        if (moments.IsEmpty)
        {
            return;
        }

        meeting[zone] = _coagulation.AdvanceRoughly(ref moments, seconds, bySize);
        now[zone] = moments.NumberPerM3 * volumeM3;
        now[_zones + zone] = moments.MassUgPerM3 * volumeM3;
        now[2 * _zones + zone] = moments.LengthNmPerM3 * volumeM3;
    }

    private void SetTo(double timeS, RunClock clock, Span<double> lossPerS)
    {
        for (var i = 0; i < _rates.Length; i++)
        {
            _rates[i].SetTo(timeS, clock);
            _steps[i].Clear();
        }

        for (var i = 0; i < _zones; i++)
        {
            lossPerS[i] = -_rates[0].PerS[i * _zones + i];
        }
    }
}
