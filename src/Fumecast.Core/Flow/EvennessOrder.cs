// SPDX-License-Identifier: MIT
namespace Fumecast.Flow;

/// <summary>Orders jobs by how well they suit a trial: long enough ones first, then those whose emission was judged too, then by grade, then by the time in which the meter can be read, then by the wander of what wanders most and the idle share; unknown last.</summary>
internal sealed class EvennessOrder : IComparer<FlowEvenness>
{
    /// <summary>The order.</summary>
    public static EvennessOrder BestFirst { get; } = new();

    /// <inheritdoc/>
    public int Compare(FlowEvenness? x, FlowEvenness? y) => Key(x).CompareTo(Key(y));

    private static (bool IsTooShort, bool IsOfFlowAlone, int Grade, double NotReadableS, double Wander, double Idle) Key(FlowEvenness? flow) => (
        flow is null or { Grade: null } or { IsTooShort: true },
        flow?.Source is null,
        flow?.Grade is { } grade ? (int)grade : int.MaxValue,
        -(flow?.ReadToS - flow?.ReadFromS) ?? 0,
        flow?.HighestWander ?? double.PositiveInfinity,
        flow?.IdleShare ?? double.PositiveInfinity);
}
