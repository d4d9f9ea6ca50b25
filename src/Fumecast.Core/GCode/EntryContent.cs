// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>The bytes of a container's entry, checked against the length and the checksum that the container states.</summary>
/// <remarks>The library checks neither while reading (measured on .NET 10).</remarks>
internal sealed class EntryContent(Stream entry, long statedLength, uint statedCrc) : ForwardStream
{
    private static readonly uint[] Table = MakeTable();

    private uint _crc = uint.MaxValue;
    private bool _isChecked;

    /// <summary>Bytes given out so far [bytes].</summary>
    internal long GivenBytes { get; private set; }

    public override int Read(Span<byte> buffer)
    {
        var count = entry.Read(buffer);
        GivenBytes += count;
        _crc = Update(_crc, buffer[..count]);
        if (count == 0 && buffer.Length > 0 && !_isChecked)
        {
            _isChecked = true;
            if (GivenBytes != statedLength)
            {
                throw new DamagedDataException("the container's entry does not have the length that the container states");
            }

            if (~_crc != statedCrc)
            {
                throw new DamagedDataException("the container's entry does not fit its checksum");
            }
        }

        return count;
    }

    /// <summary>CRC-32 as in ZIP (APPNOTE 4.4.7), four bytes at a time.</summary>
    internal static uint Update(uint crc, ReadOnlySpan<byte> data)
    {
        var table = Table;
        while (data.Length >= 4)
        {
            crc ^= System.Buffers.Binary.BinaryPrimitives.ReadUInt32LittleEndian(data);
            crc = table[768 + (crc & 0xFF)] ^ table[512 + ((crc >> 8) & 0xFF)] ^ table[256 + ((crc >> 16) & 0xFF)] ^ table[crc >> 24];
            data = data[4..];
        }

        foreach (var value in data)
        {
            crc = table[(crc ^ value) & 0xFF] ^ (crc >> 8);
        }

        return crc;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            entry.Dispose();
        }

        base.Dispose(disposing);
    }

    private static uint[] MakeTable()
    {
        const uint Polynomial = 0xEDB88320;
        var table = new uint[4 * 256];
        for (var i = 0u; i < 256; i++)
        {
            var crc = i;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = (crc & 1) != 0 ? (crc >> 1) ^ Polynomial : crc >> 1;
            }

            table[i] = crc;
        }

        for (var i = 256; i < table.Length; i++)
        {
            table[i] = (table[i - 256] >> 8) ^ table[table[i - 256] & 0xFF];
        }

        return table;
    }
}
