// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Fumecast.Aerosol;
using Fumecast.Flow;

namespace Fumecast.Emission;

/// <summary>Turns the slices of a job into emission by agent: over time, in total, and with intervals.</summary>
/// <remarks>
/// A job is followed at the middle of every figure; totals and their intervals come from draws of all figures (<see cref="EmissionTotals"/>), and
/// the series is scaled so that its rows sum to the median of the draws. One job per instance; not for use by several threads.
/// </remarks>
internal sealed class EmissionAccumulator
{
    private const int BeforeSpecies = 3;

    private readonly EmissionOptions _options;
    private readonly IReadOnlyList<Material?> _materials;
    private readonly ToolEmission?[] _tools;
    private readonly List<ToolEmission> _emitters = [];
    private readonly Dictionary<int, NozzleResidue> _residues = [];
    private readonly bool[] _nozzleIsAssumed;
    private readonly AgentMix[] _agents;
    private readonly PeakBin[] _peaks;
    private readonly double[] _binAmounts;
    private readonly List<double> _components = [];
    private readonly Dictionary<NozzleResidue, PeakBin> _nozzlePeaks = [];
    private readonly List<double> _ofNozzle = [];
    private EmissionTotals? _totals;

    /// <summary>Starts a job.</summary>
    /// <param name="materialByTool">Material of each tool; null for a tool whose emission is not to be counted.</param>
    /// <param name="options">How to calculate.</param>
    /// <param name="binS">Length of a bin of the series [s], over 0; the caller closes the bins.</param>
    public EmissionAccumulator(IReadOnlyList<Material?> materialByTool, EmissionOptions options, double binS)
    {
        ArgumentNullException.ThrowIfNull(materialByTool);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(binS);
        if (!(options.Interval > 0 && options.Interval < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.Interval, "the interval is not between 0 and 1");
        }

        _options = options;
        BinS = binS;
        _materials = materialByTool;
        _tools = new ToolEmission?[materialByTool.Count];
        _nozzleIsAssumed = new bool[materialByTool.Count];
        _agents = AgentsOf(materialByTool);
        _peaks = [.. _agents.Select(static _ => new PeakBin())];
        _binAmounts = new double[_agents.Length];
    }

    /// <summary>Length of a full bin [s].</summary>
    public double BinS { get; }

    /// <summary>Slices left out because a value was not finite, or its tool has no material [-].</summary>
    public long LeftOut { get; private set; }

    /// <summary>The agents in the order of <see cref="BinRates"/>: particle number, particle mass, TVOC, then species.</summary>
    public IReadOnlyList<Agent> Agents => [.. _agents.Select(static mix => mix.Agent)];

    /// <summary>What gives off so far, in the order of the numbers that <see cref="CloseBin"/> hands out.</summary>
    public IReadOnlyList<ToolEmission> Emitters => _emitters;

    /// <summary>Takes a slice.</summary>
    /// <param name="slice">The slice; valid during the call only.</param>
    /// <param name="densityGPerCm3">Density of the filament [g/cm3].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ref readonly PrintSlice slice, double densityGPerCm3)
    {
        var tool = (uint)slice.Tool < (uint)_tools.Length ? _tools[slice.Tool] ?? Use(slice.Tool, slice.Nozzle) : null;
        if (tool is null || !double.IsFinite(slice.NozzleC + slice.DepositedMm3 + slice.StartS + slice.DurationS + slice.ExtrudingS))
        {
            LeftOut++;
            return;
        }

        _totals = null;
        tool.Add(in slice, densityGPerCm3);
    }

    /// <summary>Says that nothing states the nozzle temperature of a tool: the usual range of its material is then drawn.</summary>
    /// <param name="tool">The tool [-].</param>
    public void AssumeNozzle(int tool)
    {
        _nozzleIsAssumed[tool] = true;
        if (_tools[tool] is { } emitter)
        {
            emitter.NozzleIsAssumed = true;
        }
    }

    /// <summary>Closes a bin: what was added since the last one belongs to it.</summary>
    /// <param name="startS">Start of the bin [s].</param>
    /// <param name="durationS">Length of the bin [s], over 0.</param>
    /// <returns>What the bin holds, by component, for <see cref="BinRates.PerMin(ReadOnlySpan{double}, double, Span{Fumecast.Uncertainty.Uncertain})"/>; valid until the next call.</returns>
    public ReadOnlySpan<double> CloseBin(double startS, double durationS)
    {
        _components.Clear();
        for (var i = 0; i < _emitters.Count; i++)
        {
            ref readonly var bin = ref _emitters[i].Bin;
            if (bin.Number > 0 || bin.TvocUg > 0)
            {
                _components.Add(i);
                _components.AddRange(ToolBin.Pack(in bin));
            }
        }

        var packed = CollectionsMarshal.AsSpan(_components);
        for (var i = 0; i < _agents.Length; i++)
        {
            var amount = 0.0;
            foreach (var part in _agents[i].PartsSpan)
            {
                amount += part.Amount(in part.Tool.Bin);
            }

            _binAmounts[i] = amount;
            _peaks[i].Consider(amount / durationS, startS, durationS, durationS >= BinS * (1 - 1e-9), packed);
        }

        ConsiderNozzles(startS, durationS);
        foreach (var emitter in _emitters)
        {
            emitter.CloseBin();
        }

        _totals = null;
        return packed;
    }

    /// <summary>Keeps the highest rate of each nozzle for itself, since the cap on the rate is one for a nozzle.</summary>
    private void ConsiderNozzles(double startS, double durationS)
    {
        foreach (var residue in _residues.Values)
        {
            _ofNozzle.Clear();
            var number = 0.0;
            for (var i = 0; i < _emitters.Count; i++)
            {
                ref readonly var bin = ref _emitters[i].Bin;
                if (_emitters[i].Residue == residue && bin.Number > 0)
                {
                    number += bin.Number;
                    _ofNozzle.Add(i);
                    _ofNozzle.AddRange(ToolBin.Pack(in bin));
                }
            }

            ref var peak = ref CollectionsMarshal.GetValueRefOrAddDefault(_nozzlePeaks, residue, out _);
            peak ??= new PeakBin();
            peak.Consider(number / durationS, startS, durationS, durationS >= BinS * (1 - 1e-9), CollectionsMarshal.AsSpan(_ofNozzle));
        }
    }

    /// <summary>Whether the cap on the rate sets the upper end of the highest rate of any nozzle.</summary>
    /// <param name="heldShare">Share of the cap from which a rate counts as held by it [-].</param>
    /// <returns>The cap that does [1/min], or null.</returns>
    public double? CapThatHolds(double heldShare)
    {
        var rates = Rates();
        foreach (var nozzle in _emitters.GroupBy(static emitter => emitter.Residue))
        {
            var capPerMin = nozzle.Min(static emitter => emitter.Material.Rules.NumberCapPerMin.Value);
            if (_nozzlePeaks.GetValueOrDefault(nozzle.Key)?.PerMin(rates, 0).High >= heldShare * capPerMin)
            {
                return capPerMin;
            }
        }

        return null;
    }

    /// <summary>Particles in the bin that was closed last, at the middle of all figures [-].</summary>
    public double BinNumber => _binAmounts[0];

    /// <summary>Volatile organic compounds in the bin that was closed last, at the middle of all figures [ug].</summary>
    public double BinTvocUg => _binAmounts[2];

    /// <summary>The results of the job so far.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    /// <returns>Particle number, particle mass, TVOC, then species of the tools in use, the largest first.</returns>
    public IReadOnlyList<AgentEmission> Results(double depositedG)
    {
        var rates = Rates();
        var results = Enumerable.Range(0, _agents.Length)
            .Where(i => i < BeforeSpecies || _agents[i].Parts.Count > 0)
            .Select(i => Totals().Result(i, depositedG, _peaks[i].PerMin(rates, i), _peaks[i].AtS))
            .ToArray();
        return [.. results.Take(BeforeSpecies), .. results.Skip(BeforeSpecies).OrderByDescending(r => r.Total.Median)];
    }

    /// <summary>The rates of single bins, such that they sum to the totals of the job so far.</summary>
    public BinRates Rates() => Totals().Rates();

    /// <summary>The totals of every draw, to compare this job with others of the same run.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    public EmissionDraws Draws(double depositedG) => Totals().Draws(depositedG);

    /// <summary>Share of the start dose that is left in the nozzle of a tool, 0 to 1, at the middle of all figures [-].</summary>
    /// <param name="tool">The tool [-].</param>
    public double StartDoseLeft(int tool) => (uint)tool < (uint)_tools.Length && _tools[tool] is { } used ? used.DoseLeft : _options.StartDoseLeft;

    /// <summary>What the particle number of the job so far is made of, at the middle of all figures.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    public NumberParts NumberParts(double depositedG)
    {
        double byMass = 0, own = 0, warmUp = 0, idle = 0, dose = 0, yieldTimesMass = 0, massG = 0;
        foreach (var tool in _emitters)
        {
            var sums = tool.Total;
            byMass += sums.Printing - sums.PrintingOwn - sums.PrintingDose;
            own += sums.PrintingOwn;
            warmUp += sums.WarmUp - sums.WarmUpDose;
            idle += sums.IdleHot - sums.IdleHotDose;
            dose += sums.Dose;
            massG += tool.MassG;
            yieldTimesMass += tool.Material.NumberYieldPerG.Value * tool.MassG;
        }

        return new NumberParts(depositedG, massG > 0 ? yieldTimesMass / massG : 0, byMass, own, warmUp, idle, dose);
    }

    /// <summary>What each material makes of the particle number and of the volatile organic compounds so far, at the middle of all figures, 0 to 1 [-].</summary>
    public IReadOnlyDictionary<string, (double Number, double Tvoc)> SharesByMaterial()
    {
        var (number, tvoc) = (_emitters.Sum(static emitter => emitter.Total.Number), _emitters.Sum(static emitter => emitter.Total.Tvoc));
        return _emitters.GroupBy(static emitter => emitter.Material.Id).ToDictionary(
            static group => group.Key,
            group => (
                number > 0 ? group.Sum(static emitter => emitter.Total.Number) / number : 0,
                tvoc > 0 ? group.Sum(static emitter => emitter.Total.Tvoc) / tvoc : 0));
    }

    private static AgentMix[] AgentsOf(IReadOnlyList<Material?> materials)
    {
        var species = materials.OfType<Material>().SelectMany(static material => material.Species).Select(static species => species.Agent).Distinct();
        return [.. species.Prepend(Agent.Tvoc).Prepend(Agent.ParticleMass).Prepend(Agent.ParticleNumber).Select(static agent => new AgentMix(agent))];
    }

    /// <summary>Takes up a tool at its first slice: most of those that could be used never are.</summary>
    private ToolEmission? Use(int number, int nozzle)
    {
        if (_materials[number] is not { } material)
        {
            return null;
        }

        if (!_residues.TryGetValue(nozzle, out var residue))
        {
            residue = new NozzleResidue();
            _residues.Add(nozzle, residue);
        }

        // Tools that feed one material to one nozzle are one for all that is given off.
        var tool = _emitters.Find(emitter => emitter.Residue == residue && emitter.Material.Id == material.Id);
        if (tool is null)
        {
            tool = new ToolEmission(material, _options, residue);
            _emitters.Add(tool);
            AddTo(_agents, tool);
        }

        tool.NozzleIsAssumed |= _nozzleIsAssumed[number];
        _tools[number] = tool;
        return tool;
    }

    /// <summary>Lets a tool take part in the agents of its material.</summary>
    private static void AddTo(AgentMix[] agents, ToolEmission tool)
    {
        var material = tool.Material;
        var rules = material.Rules;
        agents[0].Add(new AgentPart(tool, false, 1, [], null));
        agents[1].Add(new AgentPart(
            tool, false, new ParticleSize(rules.GmdNm.Value, rules.Gsd.Value).MeanMassUg(rules.ParticleDensityGPerCm3.Value),
            [rules.GmdNm, rules.Gsd, rules.ParticleDensityGPerCm3], static d => d.ParticleMassUg()));
        agents[2].Add(new AgentPart(tool, true, 1, [], null));
        for (var i = 0; i < material.Species.Count; i++)
        {
            var (one, index) = (material.Species[i], i);
            var share = one.ShareOfTvoc;
            Array.Find(agents, agent => agent.Agent == one.Agent)!.Add(new AgentPart(tool, true, share.Value, [share], d => d.ShareOf(index)));
        }
    }

    /// <summary>The totals, drawn once for as long as nothing is added.</summary>
    private EmissionTotals Totals() => _totals ??= new EmissionTotals(_agents, [.. _emitters], _options);
}

/// <summary>What the particle number of a job is made of, at the middle of all figures.</summary>
/// <param name="MassG">Deposited mass [g].</param>
/// <param name="YieldPerG">Mean yield by mass at the reference temperatures [1/g].</param>
/// <param name="ByMass">In proportion to the mass [-].</param>
/// <param name="OwnPrinting">The nozzle's own while depositing [-].</param>
/// <param name="OwnWarmUp">The nozzle's own before the first deposit [-].</param>
/// <param name="OwnIdle">The nozzle's own without deposit after the first one [-].</param>
/// <param name="Dose">The start dose [-].</param>
internal readonly record struct NumberParts(
    double MassG, double YieldPerG, double ByMass, double OwnPrinting, double OwnWarmUp, double OwnIdle, double Dose)
{
    /// <summary>All particles [-].</summary>
    public double Total => ByMass + OwnPrinting + OwnWarmUp + OwnIdle + Dose;
}
