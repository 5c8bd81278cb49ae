using XoverOpt.Workshop;

namespace XoverOpt.Worker.Api;

/// <summary>A wish to have parts set aside.</summary>
/// <param name="Run">The run.</param>
/// <param name="Rank">The rank of the build in it.</param>
/// <param name="Sets">How many sets; null for as many as the job asks for.</param>
/// <param name="EarpiecesPerSet">2 for a left and a right; null for what the job says.</param>
/// <param name="By">Who asks for it.</param>
/// <param name="WhatIsThere">Whether to set aside what there is of parts that are short, rather than nothing of any.</param>
public sealed record ReservationRequest(string Run, int Rank, int? Sets, int? EarpiecesPerSet, string By, bool WhatIsThere)
{
    internal static Reading<ReservationRequest> Read(byte[] body)
    {
        FaultList faults = new();
        if (JsonSource.Parse(JobFile.PostedName, body, faults)?.AsObject("an object such as { \"run\": \"…\", \"rank\": 2, \"sets\": 25, \"by\": \"Anna\" }") is not { } reader)
        {
            return faults.End<ReservationRequest>(null);
        }

        ReservationRequest asked = new(
            reader.RequiredText("run", 100),
            (int)(reader.Required("rank", "a whole number")?.AsWhole(1, 100_000) ?? 0),
            (int?)reader.Whole("sets", 1, BenchPlanFile.MostSets),
            (int?)reader.Whole("earpiecesPerSet", 1, 16),
            reader.RequiredText("by", 100),
            reader.Optional("whatIsThere")?.AsFlag() ?? false);
        reader.Finish();
        return faults.End(asked);
    }
}
