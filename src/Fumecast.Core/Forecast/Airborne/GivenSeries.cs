// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Forecast;

/// <summary>Sizes of the particles of a given source.</summary>
/// <param name="Size">Their sizes.</param>
/// <param name="DensityGPerCm3">Their density [g/cm3].</param>
internal sealed record GivenParticles(ParticleSize Size, double DensityGPerCm3);

/// <summary>Amounts of a given source in equal cells of bounded number, however many stretches it has.</summary>
internal sealed class GivenSeries
{
    private const int MostCells = 8192;
    private const double LongestS = 1e9;
    private readonly List<double>[] _amounts;
    private readonly IReadOnlyList<double> _gsd;
    private double _cellS;

    /// <summary>Takes the stretches of a source.</summary>
    /// <param name="agents">What it gives off.</param>
    /// <param name="gsd">Geometric standard deviation of the rates of each, 1 or more [-].</param>
    /// <param name="particles">Sizes of its particles, or null when it gives off none.</param>
    /// <param name="steps">Its stretches: length [s] and rates in the order of the agents [unit of the agent for each s].</param>
    /// <exception cref="ArgumentException">A length or a rate is out of range.</exception>
    public GivenSeries(IReadOnlyList<Agent> agents, IReadOnlyList<double> gsd, GivenParticles? particles, IEnumerable<(double Seconds, IReadOnlyList<double> PerS)> steps)
    {
        (Agents, _gsd, Particles) = (agents, gsd, particles);
        _amounts = [.. agents.Select(static _ => new List<double>())];
        foreach (var (seconds, perS) in steps)
        {
            if (!(seconds >= 0) || !(EndS + seconds < LongestS))
            {
                throw new ArgumentException("a stretch of a source lasts less than nothing, or all of them more than 30 years");
            }

            if (perS.Count != agents.Count || perS.Any(static rate => !(rate >= 0 && rate < 1e30)))
            {
                throw new ArgumentException("expected a rate of 0 or more for each agent of a source");
            }

            Add(seconds, perS);
        }
    }

    /// <summary>What it gives off.</summary>
    public IReadOnlyList<Agent> Agents { get; }

    /// <summary>Sizes of its particles; null when it gives off none.</summary>
    public GivenParticles? Particles { get; }

    /// <summary>Geometric standard deviation of the rates of an agent [-].</summary>
    public double GsdOf(int agent) => _gsd[agent];

    /// <summary>Number of cells [-].</summary>
    public int Count => _amounts.Length == 0 ? 0 : _amounts[0].Count;

    /// <summary>Length of a cell [s]; the last one ends with the source.</summary>
    public double CellS => _cellS;

    /// <summary>Its end [s].</summary>
    public double EndS { get; private set; }

    /// <summary>Length of a cell [s].</summary>
    public double Seconds(int cell) => Math.Min(_cellS, EndS - cell * _cellS);

    /// <summary>Amount of an agent in a cell [unit of the agent].</summary>
    public double Amount(int agent, int cell) => _amounts[agent][cell];

    private void Add(double seconds, IReadOnlyList<double> perS)
    {
        if (seconds == 0)
        {
            return;
        }

        // Cells of 10 s, or of the first stretch where that is shorter; they double as the source grows longer than so many hold.
        _cellS = _cellS == 0 ? Math.Min(seconds, 10) : _cellS;
        var (fromS, untilS) = (EndS, EndS + seconds);
        while (untilS > MostCells * _cellS)
        {
            JoinPairs();
        }

        EndS = untilS;
        var last = Math.Min(MostCells - 1, (int)Math.Ceiling(untilS / _cellS - 1e-9) - 1);
        for (var cell = Math.Min(last, (int)(fromS / _cellS + 1e-9)); cell <= last; cell++)
        {
            var part = Math.Max(0, Math.Min(untilS, (cell + 1) * _cellS) - Math.Max(fromS, cell * _cellS));
            for (var a = 0; a < _amounts.Length; a++)
            {
                while (_amounts[a].Count <= cell)
                {
                    _amounts[a].Add(0);
                }

                _amounts[a][cell] += perS[a] * part;
            }
        }
    }

    private void JoinPairs()
    {
        foreach (var amounts in _amounts)
        {
            var half = (amounts.Count + 1) / 2;
            for (var i = 0; i < half; i++)
            {
                amounts[i] = amounts[2 * i] + (2 * i + 1 < amounts.Count ? amounts[2 * i + 1] : 0);
            }

            amounts.RemoveRange(half, amounts.Count - half);
        }

        _cellS *= 2;
    }
}
