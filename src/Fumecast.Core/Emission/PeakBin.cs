// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>The bin with the highest rate of an agent. A full bin goes before a last one that is shorter, whose mean says less.</summary>
internal sealed class PeakBin
{
    private readonly List<double> _components = [];
    private double _ratePerS;
    private double _durationS;
    private bool _isFull;

    /// <summary>Middle of the bin [s].</summary>
    public double AtS { get; private set; }

    public void Consider(double rate, double startS, double lengthS, bool full, ReadOnlySpan<double> bin)
    {
        if (full == _isFull ? rate <= _ratePerS : _isFull || !(rate > 0))
        {
            return;
        }

        (_ratePerS, _durationS, _isFull, AtS) = (rate, lengthS, full, startS + lengthS / 2);
        _components.Clear();
        _components.AddRange(bin);
    }

    /// <summary>Its rate [unit of the agent per min].</summary>
    public Uncertain PerMin(BinRates rates, int agent) =>
        _ratePerS > 0 ? rates.PerMin(agent, CollectionsMarshal.AsSpan(_components), _durationS) : default;
}
