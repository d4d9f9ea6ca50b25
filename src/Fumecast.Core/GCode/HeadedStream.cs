// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>A stream whose first bytes were looked at and are given out again.</summary>
internal sealed class HeadedStream : ForwardStream
{
    private const int HeadBytes = 4096;

    private readonly Stream _rest;
    private readonly byte[] _head = new byte[HeadBytes];
    private readonly int _headLength;
    private int _given;

    internal HeadedStream(Stream source)
    {
        _rest = source;
        _headLength = source.ReadAtLeast(_head, HeadBytes, throwOnEndOfStream: false);
    }

    /// <summary>The first bytes, at most 4096 of them.</summary>
    internal ReadOnlySpan<byte> Head => _head.AsSpan(0, _headLength);

    /// <summary>Bytes given out so far [bytes].</summary>
    internal long GivenBytes { get; private set; }

    public override int Read(Span<byte> buffer)
    {
        int count;
        if (_given < _headLength)
        {
            count = Math.Min(buffer.Length, _headLength - _given);
            _head.AsSpan(_given, count).CopyTo(buffer);
            _given += count;
        }
        else
        {
            count = _rest.Read(buffer);
        }

        GivenBytes += count;
        return count;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _rest.Dispose();
        }

        base.Dispose(disposing);
    }
}
