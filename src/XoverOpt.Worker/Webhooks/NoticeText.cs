using System.Text.Json;
using System.Text.Json.Nodes;
using XoverOpt.Worker.Api;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Webhooks;

/// <summary>What is told when a run has ended.</summary>
public static class NoticeText
{
    /// <summary>The body, JSON: the run, how it ended, and the best build's row of the result file.</summary>
    /// <param name="run">A run that has ended.</param>
    public static byte[] Of(RunRecord run)
    {
        JsonArray? builds = run.Result is { } result ? JsonNode.Parse(result)!["builds"]?.AsArray() : null;
        JsonObject notice = new()
        {
            ["format"] = "notice/1",
            ["id"] = run.Id,
            ["name"] = run.Name,
            ["state"] = RunStateText.Of(run.State),
            ["reason"] = run.Reason,
            ["failure"] = run.Failure,
            ["created"] = run.Created,
            ["started"] = run.Started,
            ["ended"] = run.Ended,
            ["builds"] = builds?.Count ?? 0,
            ["best"] = builds is [{ } best, ..] ? best.DeepClone() : null,
            ["caution"] = BuildFile.Caution,
        };
        return JsonSerializer.SerializeToUtf8Bytes(notice, ApiJson.Options);
    }
}
