// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>A stream whose first bytes were looked at and are given out again.</summary>
internal sealed class HeadedStream : ForwardStream
{
    private const int HeadBytes = 4096;

    private readonly Stream _rest;
    private byte[] _head = new byte[HeadBytes];
    private int _headLength;
    private int _given;

    internal HeadedStream(Stream source)
    {
        _rest = source;
        _headLength = source.ReadAtLeast(_head, HeadBytes, throwOnEndOfStream: false);
    }

    /// <summary>The first bytes, at most 4096 of them unless more were asked for.</summary>
    internal ReadOnlySpan<byte> Head => _head.AsSpan(0, _headLength);

    /// <summary>Bytes given out so far [bytes].</summary>
    internal long GivenBytes { get; private set; }

    /// <summary>Looks at more of the first bytes; only before any were given out.</summary>
    /// <param name="bytes">How many to look at in all [bytes].</param>
    internal void Extend(int bytes)
    {
        if (_given > 0 || bytes <= _headLength)
        {
            return;
        }

        Array.Resize(ref _head, bytes);
        _headLength += _rest.ReadAtLeast(_head.AsSpan(_headLength), bytes - _headLength, throwOnEndOfStream: false);
    }

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
