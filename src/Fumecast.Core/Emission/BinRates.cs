// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>Gives the rates of single bins with their intervals, once the whole job is known.</summary>
/// <remarks>
/// Each bin is drawn from its components (<see cref="ToolBin"/>), the cap put on moments with and without deposit apart. Most bins of a print are
/// alike, so what was drawn for one serves for those that differ by less than two hundredths in their mix, half a kelvin and a tenth in the
/// distance to the cap. Medians are the middle values times a factor for each agent, so that the rows sum to the median of the total.
/// </remarks>
internal sealed class BinRates
{
    private const int MostKept = 4096;
    private const double FarBelowCap = 14;
    private const double DoseThatMatters = 0.005;
    private const double SlowestAge = 0.3;

    /// <summary>Of the dose at the start of a bin, a share at its end below which its age says no more [-].</summary>
    private const double GoneWithin = 1e-9;

    private readonly AgentMix[] _agents;
    private readonly ToolEmission[] _tools;
    private readonly double[] _scales;
    private readonly double _interval;
    private readonly Func<Material, FigureDraws> _draw;
    private readonly Dictionary<string, FigureDraws> _figures = [];
    private readonly ToolBin[] _bins;
    private readonly Dictionary<string, (double Low, double High)[]> _knownParticles = [];
    private readonly Dictionary<string, (double Low, double High)[]> _knownVapours = [];
    private readonly char[] _key;

    internal BinRates(AgentMix[] agents, ToolEmission[] tools, double[] scales, double interval, Func<Material, FigureDraws> draw)
    {
        (_agents, _tools, _scales, _interval, _draw) = (agents, tools, scales, interval, draw);
        _bins = new ToolBin[tools.Length];
        _key = new char[1 + (9 * tools.Length)];
    }

    /// <summary>Rates of a bin with their intervals.</summary>
    /// <param name="components">What <see cref="EmissionAccumulator.CloseBin"/> gave for the bin.</param>
    /// <param name="durationS">Length of the bin [s], over 0.</param>
    /// <param name="ratesPerMin">Receives the rate of each agent, in the order of <see cref="EmissionAccumulator.Agents"/> [unit of the agent per min].</param>
    public void PerMin(ReadOnlySpan<double> components, double durationS, Span<Uncertain> ratesPerMin)
    {
        var used = Unpack(components);
        var (particles, vapours) = (RatiosOf(used, ofParticles: true), RatiosOf(used, ofParticles: false));
        for (var i = 0; i < _agents.Length; i++)
        {
            ratesPerMin[i] = PerMin(i, used, durationS, _agents[i].Agent.IsParticles ? particles : vapours);
        }
    }

    /// <summary>Rate of one agent in a bin with its interval; nothing is drawn for particles when it is a vapour, and the other way round.</summary>
    /// <param name="agent">Place of the agent in <see cref="EmissionAccumulator.Agents"/>.</param>
    /// <param name="components">What <see cref="EmissionAccumulator.CloseBin"/> gave for the bin.</param>
    /// <param name="durationS">Length of the bin [s], over 0.</param>
    public Uncertain PerMin(int agent, ReadOnlySpan<double> components, double durationS)
    {
        var used = Unpack(components);
        return PerMin(agent, used, durationS, RatiosOf(used, _agents[agent].Agent.IsParticles));
    }

    private Uncertain PerMin(int agent, List<int> used, double durationS, (double Low, double High)[] ratios)
    {
        var amount = 0.0;
        foreach (var part in _agents[agent].PartsSpan)
        {
            var at = Array.IndexOf(_tools, part.Tool);
            amount += used.Contains(at) ? part.Amount(in _bins[at]) : 0;
        }

        var rate = amount * (60 / durationS);
        var median = rate * _scales[agent];
        return new Uncertain(Math.Min(rate * ratios[agent].Low, median), median, Math.Max(rate * ratios[agent].High, median));
    }

    private List<int> Unpack(ReadOnlySpan<double> components)
    {
        var used = new List<int>(2);
        for (var at = 0; at < components.Length; at += 1 + ToolBin.Length)
        {
            var tool = (int)components[at];
            _bins[tool] = ToolBin.Unpack(components.Slice(at + 1, ToolBin.Length));
            used.Add(tool);
        }

        return used;
    }

    /// <summary>Ends of the interval over the middle value, for the agents that are particles or those that are vapours.</summary>
    private (double Low, double High)[] RatiosOf(List<int> used, bool ofParticles)
    {
        var known = ofParticles ? _knownParticles : _knownVapours;
        var name = ofParticles ? KeyOfParticles(used) : KeyOfVapours(used);
        if (!known.TryGetValue(name, out var ratios))
        {
            if (known.Count >= MostKept)
            {
                known.Clear();
            }

            ratios = Draw(used, ofParticles);
            known.Add(name, ratios);
        }

        return ratios;
    }

    private string KeyOfParticles(List<int> used)
    {
        var number = used.Sum(tool => _bins[tool].Number);
        var length = 0;
        foreach (var tool in used)
        {
            ref readonly var bin = ref _bins[tool];
            var material = _tools[tool].Material;
            var rules = material.Rules;
            var y = material.NumberYieldPerG.Value;
            var left = rules.StartDose.Value * _tools[tool].DoseAtStart * LeftOf(in bin, 0, 1, _tools[tool]);
            var printing = y * ((bin.PrintingOwnG * (rules.NozzleShare.Value + left)) + (bin.MassG * (1 - rules.NozzleShare.Value)));
            var resting = y * bin.RestingOwnG * (rules.NozzleShare.Value + left);
            Put(ref length, tool);
            Put(ref length, 50 * printing / number);
            Put(ref length, 50 * resting / number);
            Put(ref length, 50 * y * bin.MassG / number);
            Put(ref length, 2 * StepOf(bin.StepGK, in bin, material));

            // A cooler start and a flatter slope than the middle ones leave more of the dose: its age counts until it is gone for those too.
            var hasDose = rules.StartDose.Value * _tools[tool].DoseAtStart * Math.Pow(bin.LeftAtStart, SlowestAge) > DoseThatMatters;
            Put(ref length, hasDose ? 1000 - (10 * Math.Log(left)) : 0);
            Put(ref length, hasDose ? 1000 + MeanAgeStepK(in bin) : 0);
            var cap = rules.NumberCapPerMin.Value / 60;
            Put(ref length, Distance(cap * bin.PrintingS, printing));
            Put(ref length, Distance(cap * bin.RestingS, resting));
        }

        return new string(_key, 0, length);

        static double Distance(double highest, double amount) =>
            amount > 0 && highest / amount is var ratio && Math.Log(ratio) is var distance && distance < FarBelowCap ? 1000 + (10 * distance) : 0;
    }

    private string KeyOfVapours(List<int> used)
    {
        var tvoc = used.Sum(tool => _bins[tool].TvocUg);
        var length = 0;
        foreach (var tool in used)
        {
            ref readonly var bin = ref _bins[tool];
            var material = _tools[tool].Material;
            Put(ref length, tool);
            Put(ref length, 50 * material.TvocYieldUgPerG.Value * bin.TvocMassG / tvoc);
            Put(ref length, 50 * material.TvocYieldUgPerG.Value * bin.TvocOwnG / tvoc);
            Put(ref length, 2 * TvocStepOf(in bin, material));
        }

        return new string(_key, 0, length);
    }

    private void Put(ref int length, double value) =>
        _key[length++] = (char)(30_000 + (int)Math.Round(Math.Clamp(double.IsFinite(value) ? value : 0, -20_000, 20_000)));

    private (double Low, double High)[] Draw(List<int> used, bool ofParticles)
    {
        var drawn = used.GroupBy(tool => _tools[tool].Material.Id).ToDictionary(static group => group.Key, group => DrawMaterial([.. group], ofParticles));
        var ratios = new (double Low, double High)[_agents.Length];
        for (var i = 0; i < _agents.Length; i++)
        {
            if (_agents[i].Agent.IsParticles != ofParticles)
            {
                continue;
            }

            var parts = _agents[i].Parts.Where(part => used.Contains(Array.IndexOf(_tools, part.Tool))).ToList();
            var middle = parts.Sum(part => part.Amount(in _bins[Array.IndexOf(_tools, part.Tool)]));
            ratios[i] = (1, 1);
            if (middle > 0)
            {
                var amount = DrawnAmount.Of(parts, part => part.Amount(in _bins[Array.IndexOf(_tools, part.Tool)]), drawn, EmissionPhase.Whole);
                ratios[i] = (amount.Quantile((1 - _interval) / 2) / middle, amount.Quantile((1 + _interval) / 2) / middle);
            }
        }

        return ratios;
    }

    private MaterialDraws DrawMaterial(int[] sameMaterial, bool ofParticles)
    {
        var drawn = FiguresOf(_tools[sameMaterial[0]].Material);
        return new MaterialDraws(drawn, ofParticles ? NumberOf(sameMaterial, drawn) : TvocOf(sameMaterial, drawn));
    }

    private YieldCurves NumberOf(int[] used, FigureDraws draws)
    {
        var material = draws.Material;
        var rules = material.Rules;
        var capPerS = rules.NumberCapPerMin.Value / 60;
        var highestYield = YieldCap.HighestOf(material.NumberYieldPerG, _interval);
        var (printing, resting) = (new double[draws.Points], new double[draws.Points]);
        var curves = new CapCurve?[draws.Points];
        var moments = new CapCell[2 * used.Length];
        for (var k = 0; k < draws.Points; k++)
        {
            var off = draws.Slope[k] - rules.NumberSlopePerK.Value;
            for (var i = 0; i < used.Length; i++)
            {
                ref readonly var bin = ref _bins[used[i]];
                var tool = _tools[used[i]];
                var hot = Math.Exp(off * StepOf(bin.StepGK, in bin, material)) * draws.Hotter(tool)[k];
                var dose = draws.Dose[k] * tool.DoseAtStart;
                var own = hot * (draws.OwnShare[k] + (dose > 0 ? dose * LeftOf(in bin, off, draws.Hotter(tool)[k], tool) : 0));
                moments[2 * i] = new CapCell(bin.PrintingS, 0, (own * bin.PrintingOwnG) + (hot * (1 - draws.OwnShare[k]) * bin.MassG), 0);
                moments[(2 * i) + 1] = new CapCell(bin.RestingS, 0, 0, own * bin.RestingOwnG);
                printing[k] += moments[2 * i].PrintingG;
                resting[k] += moments[(2 * i) + 1].IdleHotG;
            }

            curves[k] = CapCurve.Of(moments, [], capPerS, highestYield);
        }

        var lowest = Array.ConvertAll(curves, static curve => curve?.LogFirstYield ?? double.PositiveInfinity);
        return new YieldCurves(material.NumberYieldPerG, new double[draws.Points], printing, resting, new YieldCap(lowest, highestYield, point => curves[point]));
    }

    private YieldCurves TvocOf(int[] used, FigureDraws draws)
    {
        var material = draws.Material;
        var amounts = new double[draws.Points];
        foreach (var tool in used)
        {
            ref readonly var bin = ref _bins[tool];
            var step = TvocStepOf(in bin, material);
            for (var k = 0; k < amounts.Length; k++)
            {
                var s = draws.TvocOwnShare[k];
                amounts[k] += Math.Exp((draws.TvocSlope[k] - material.Rules.TvocSlopePerK.Value) * step) * draws.TvocHotter(_tools[tool])[k]
                    * ((s * bin.TvocOwnG) + ((1 - s) * bin.TvocMassG));
            }
        }

        return new YieldCurves(material.TvocYieldUgPerG, new double[amounts.Length], amounts, new double[amounts.Length], null);
    }

    private FigureDraws FiguresOf(Material material)
    {
        if (!_figures.TryGetValue(material.Id, out var drawn))
        {
            drawn = _draw(material);
            _figures.Add(material.Id, drawn);
        }

        return drawn;
    }

    /// <summary>What is left of the start dose, the mean over the bin [-].</summary>
    /// <remarks>Ages are those at which so much is left without a cap: one that held the dose back in the middle did so in all draws.</remarks>
    internal static double LeftOf(in ToolBin bin, double slopeOff, double hotter, ToolEmission tool)
    {
        if (!(bin.LeftAtStart > 0))
        {
            return 0;
        }

        var faster = hotter * Math.Exp(slopeOff * MeanAgeStepK(in bin));
        var kept = bin.LeftAtEnd / bin.LeftAtStart;
        var ages = faster * (kept > GoneWithin ? -Math.Log(kept) : AgesWithoutCap(in bin, tool));
        return Math.Pow(bin.LeftAtStart, faster) * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - (ages / 2));
    }

    private static double AgesWithoutCap(in ToolBin bin, ToolEmission tool) =>
        (bin.PrintingOwnG + bin.RestingOwnG) / (tool.ReferenceGPerS * tool.Material.Rules.StartDoseDecayS.Value);

    private static double MeanAgeStepK(in ToolBin bin) => bin.AgeWithoutCap > 0 ? bin.AgeStepK / bin.AgeWithoutCap : 0;

    internal static double StepOf(double stepGK, in ToolBin bin, Material material)
    {
        var s = material.Rules.NozzleShare.Value;
        var weight = (s * (bin.PrintingOwnG + bin.RestingOwnG)) + ((1 - s) * bin.MassG);
        return weight > 0 ? stepGK / weight : 0;
    }

    internal static double TvocStepOf(in ToolBin bin, Material material)
    {
        var s = material.Rules.TvocNozzleShare.Value;
        var weight = (s * bin.TvocOwnG) + ((1 - s) * bin.TvocMassG);
        return weight > 0 ? bin.TvocStepGK / weight : 0;
    }
}
