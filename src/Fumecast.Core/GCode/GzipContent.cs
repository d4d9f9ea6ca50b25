// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.IO.Compression;

namespace Fumecast.GCode;

/// <summary>Decompresses gzip, and notices when it was cut off.</summary>
/// <remarks>
/// <see cref="GZipStream"/> checks the checksum but takes a cut file for a whole one (measured on .NET 10). So the length that
/// stands in the last four bytes (RFC 1952, 2.3.1) is compared with what came out. A file of several members is known by
/// further headers, each behind the length of the member before it.
/// </remarks>
internal sealed class GzipContent : ForwardStream
{
    private readonly Tap _tap;
    private readonly GZipStream _gzip;
    private uint _length;

    internal GzipContent(Stream compressed)
    {
        _tap = new Tap(compressed);
        _gzip = new GZipStream(_tap, CompressionMode.Decompress);
    }

    public override int Read(Span<byte> buffer)
    {
        var count = _gzip.Read(buffer);
        _length = unchecked(_length + (uint)count);
        if (count == 0 && buffer.Length > 0 && _length != _tap.LastLength && _length != _tap.SumOfLengths)
        {
            throw new DamagedDataException("the gzip data ends too soon");
        }

        return count;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _gzip.Dispose();
        }

        base.Dispose(disposing);
    }

    /// <summary>Passes the compressed bytes on and remembers the lengths that stand before each header and at the end.</summary>
    private sealed class Tap(Stream compressed) : ForwardStream
    {
        // Length of the member before, then the next header: magic, method, flags.
        private const int Window = 4 + HeaderBytes;
        private const int HeaderBytes = 4;

        private static readonly byte[] Header = [0x1F, 0x8B, 0x08];

        private readonly byte[] _seam = new byte[2 * Window];
        private int _kept;
        private uint _sumBefore;

        internal uint LastLength => _kept < 4 ? 0 : BinaryPrimitives.ReadUInt32LittleEndian(_seam.AsSpan(_kept - 4));

        internal uint SumOfLengths => unchecked(_sumBefore + LastLength);

        public override int Read(Span<byte> buffer)
        {
            var count = compressed.Read(buffer);
            var data = buffer[..count];

            // What lies across two reads is looked at in a small window of its own.
            var front = data[..Math.Min(count, Window - 1)];
            front.CopyTo(_seam.AsSpan(_kept));
            Search(_seam.AsSpan(0, _kept + front.Length));
            Search(data);
            Keep(data, _kept + front.Length);
            return count;
        }

        private void Search(ReadOnlySpan<byte> data)
        {
            var at = 0;
            while (data[at..].IndexOf(Header) is >= 0 and var found)
            {
                at += found;
                if (at >= 4 && at + HeaderBytes <= data.Length && (data[at + 3] & 0xE0) == 0)
                {
                    _sumBefore = unchecked(_sumBefore + BinaryPrimitives.ReadUInt32LittleEndian(data[(at - 4)..]));
                }

                at++;
            }
        }

        /// <summary>Keeps the last bytes, one less than a window so that nothing is found twice.</summary>
        private void Keep(ReadOnlySpan<byte> data, int inSeam)
        {
            if (data.Length >= Window - 1)
            {
                data[^(Window - 1)..].CopyTo(_seam);
                _kept = Window - 1;
            }
            else
            {
                var surplus = Math.Max(0, inSeam - (Window - 1));
                _seam.AsSpan(surplus, inSeam - surplus).CopyTo(_seam);
                _kept = inSeam - surplus;
            }
        }
    }
}
